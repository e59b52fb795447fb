/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_out.h"

#define TITLE_MOST 70u
#define GROUPED 4u /* sound channels that may share an event: more have no word */

static int in_order(const void *a, const void *b)
{
    const twi_out_event *x = a, *y = b;
    return tw_then(TW_CMP(x->in, y->in), tw_then(TW_CMP(y->video, x->video), TW_CMP(x->order, y->order)));
}

static void sort(twi_out *out, size_t from, int (*order)(const void *, const void *))
{
    if (out->count > from)
        TW_SORT(out->events + from, out->count - from, order);
}

/* ---- sound that is the same on several channels ---------------------------------------------------------- */

typedef enum text_kind { TEXT_EVENT, TEXT_REEL, TEXT_NAME, TEXTS } text_kind;

static tw_str text_of(const twi_out_event *e, text_kind kind)
{
    if (e->item == NULL)
        return (tw_str){NULL, 0};
    return kind == TEXT_EVENT ? e->item->event : kind == TEXT_REEL ? e->item->reel : e->item->name;
}

static int by_content(const twi_out_event *x, const twi_out_event *y)
{
    const int64_t a[] = {x->in, x->out, x->source_in, x->source_span, x->cut, x->mix, x->wipe};
    const int64_t b[] = {y->in, y->out, y->source_in, y->source_span, y->cut, y->mix, y->wipe};
    for (size_t i = 0; i < TW_COUNT(a); i++)
        if (a[i] != b[i])
            return TW_CMP(a[i], b[i]);
    int order = 0;
    for (int k = TEXT_EVENT; k < TEXTS && order == 0; k++)
        order = tw_str_cmp(text_of(x, (text_kind)k), text_of(y, (text_kind)k));
    return order;
}

static int sound_by_content(const void *a, const void *b)
{
    const twi_out_event *x = a, *y = b;
    return tw_then(TW_CMP(y->video, x->video), tw_then(by_content(x, y), TW_CMP(x->order, y->order)));
}

/* Does the picture's own list say that this sound belongs to its event? */
static bool is_shared(const twi_out_event *picture, const twi_out_event *sound)
{
    return picture->item != NULL && sound->item != NULL && picture->item->event.len > 0 &&
           tw_str_eq(picture->item->event, sound->item->event) &&
           (picture->item->channels & sound->channels) == sound->channels;
}

static bool may_group(const twi_out_event *into, const twi_out_event *sound)
{
    if (by_content(into, sound) != 0 || (into->channels & sound->channels) != 0)
        return false;
    if (into->video > 0)
        return is_shared(into, sound) && sound->channels < 1u << (GROUPED + 1);
    bool own_remarks = sound->item != NULL && sound->item->remark_count > 0;
    return !own_remarks && (into->channels | sound->channels) < 1u << (GROUPED + 1);
}

static void group_sound(twi_out *out, size_t pictures)
{
    sort(out, pictures, sound_by_content);
    size_t kept = pictures;
    for (size_t i = pictures; i < out->count; i++) {
        if (kept > pictures && may_group(&out->events[kept - 1], &out->events[i]))
            out->events[kept - 1].channels |= out->events[i].channels;
        else
            out->events[kept++] = out->events[i];
    }
    out->count = kept;
}

/* Both by record in: each sound is held against the pictures that begin where it does. */
static void share_with_pictures(twi_out *out, size_t pictures)
{
    size_t p = 0, kept = pictures;
    for (size_t i = pictures; i < out->count; i++) {
        const twi_out_event *sound = &out->events[i];
        while (p < pictures && out->events[p].in < sound->in)
            p++;
        size_t q = p;
        while (q < pictures && out->events[q].in == sound->in && !may_group(&out->events[q], sound))
            q++;
        if (q < pictures && out->events[q].in == sound->in)
            out->events[q].channels |= sound->channels;
        else
            out->events[kept++] = *sound;
    }
    out->count = kept;
}

static uint32_t channel_of(const tw_track *track, size_t nth)
{
    int64_t named;
    bool has_number = tw_str_istarts(track->name, TW_STR("A")) && tw_num_int(tw_str_from(track->name, 1), &named);
    size_t n = has_number && named >= 1 && named <= TWI_EDL_AUDIO_MOST ? (size_t)named : nth;
    return 1u << (n <= TWI_EDL_AUDIO_MOST ? n : TWI_EDL_AUDIO_MOST);
}

static void drop_merged(twi_out *out)
{
    size_t kept = 0;
    for (size_t i = 0; i < out->count; i++)
        if (!out->events[i].merged)
            out->events[kept++] = out->events[i];
    out->count = kept;
}

static void collect(twi_out *out, size_t part)
{
    const tw_timeline *t = out->timeline;
    size_t nth = 0;
    for (size_t i = 0; i < t->track_count; i++)
        if (t->tracks[i].kind == TW_TRACK_VIDEO && nth++ == part) {
            tw_track *row = TW_NEW(out->arena, tw_track); /* events point into it */
            *row = twi_edl_unfold(out, &t->tracks[i]);
            twi_edl_collect(out, row, 1, 1u);
        }
    drop_merged(out);
    if (part > 0)
        return;
    size_t pictures = out->count;
    sort(out, 0, in_order);
    nth = 0;
    for (size_t i = 0; i < t->track_count; i++)
        if (t->tracks[i].kind == TW_TRACK_AUDIO)
            twi_edl_collect(out, &t->tracks[i], 0, channel_of(&t->tracks[i], ++nth));
        else if (t->tracks[i].kind == TW_TRACK_OTHER && t->tracks[i].item_count > 0)
            twi_edl_lose(out, TWI_LOSS_TRACK, t->tracks[i].items);
    drop_merged(out);
    group_sound(out, pictures);
    share_with_pictures(out, pictures);
    for (size_t i = 0; i < t->marker_count; i++)
        twi_edl_lose(out, TWI_LOSS_MARKER, NULL);
}

/* ---- the whole list -------------------------------------------------------------------------------------- */

static void put_header(twi_out *out)
{
    const tw_timeline *t = out->timeline;
    tw_str title = twi_edl_ascii(out, t->name, NULL);
    if (title.len > TITLE_MOST)
        twi_edl_lose(out, TWI_LOSS_TEXT, NULL);
    tw_buf_addf(out->text, "TITLE: %.*s%.*s", TW_ARG(tw_str_cut(title, TITLE_MOST)), TW_ARG(out->end));
    tw_buf_addf(out->text, "FCM: %s%.*s", t->drop ? "DROP FRAME" : "NON-DROP FRAME", TW_ARG(out->end));
    out->source_drop = t->drop;
    if (t->stamp == NULL)
        return;
    tw_stamp stamp = *t->stamp;
    stamp.delivery = twi_edl_one_word(out, stamp.delivery, NULL);
    twi_edl_write_stamp(&stamp, out->end, out->text);
}

static void put_list_lines(twi_out *out, bool tail)
{
    const tw_timeline *t = out->timeline;
    uint32_t first = UINT32_MAX;
    for (size_t i = 0; i < out->count; i++)
        if (out->events[i].item != NULL && out->events[i].item->place.line > 0 &&
            out->events[i].item->place.line < first)
            first = out->events[i].item->place.line;
    for (size_t i = 0; i < t->remark_count; i++) {
        if ((first != UINT32_MAX && t->remarks[i].line > first) != tail)
            continue;
        tw_buf_add(out->text, twi_edl_remark(out, t->remarks[i].text, NULL));
        tw_buf_add(out->text, out->end);
    }
}

/* Items that come from a list keep its numbers, if every one has one. */
static size_t own_number(const twi_out_event *e)
{
    int64_t n;
    if (e->item == NULL || !tw_num_int(e->item->event, &n) || n < 0 || n > TWI_EDL_NUMBER_MOST)
        return SIZE_MAX;
    return (size_t)n;
}

static void settle_numbers(twi_out *out)
{
    out->numbered = out->count > 0;
    size_t digits = 3;
    for (size_t i = 0; i < out->count; i++) {
        out->numbered = out->numbered && own_number(&out->events[i]) != SIZE_MAX;
        if (out->numbered && out->events[i].item->event.len > digits)
            digits = out->events[i].item->event.len;
    }
    out->number_width = out->numbered ? (digits <= 6 ? digits : 6) : out->count > 999 ? 6 : 3;
}

static void say_rate(const twi_out *out)
{
    tw_buf spoken = {.arena = out->arena}, exact = {.arena = out->arena};
    tw_rate_write_spoken(out->timeline->rate, out->timeline->drop, &spoken);
    tw_rate_write(out->timeline->rate, &exact);
    tw_diag_add(out->diags, 1258, TW_IN(out->timeline->file),
                "a list does not state its rate: this one counts %d frames at %.*s", tw_rate_count(out->timeline->rate),
                (int)spoken.len, spoken.at);
    tw_diag_hint(out->diags, "pass --rate %.*s when it is read again", (int)exact.len, exact.at);
}

tw_status twi_edl_write_new(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                            tw_diags *diags, tw_buf *text)
{
    twi_out out = {.arena = arena,
                   .timeline = timeline,
                   .options = options,
                   .diags = diags,
                   .text = text,
                   .end = options->crlf ? TW_STR("\r\n") : TW_STR("\n")};
    collect(&out, part);
    if (out.count > TWI_EDL_NUMBER_MOST) {
        tw_diag_add(diags, 1261, TW_IN(timeline->file), "%zu events are more than a list can number", out.count);
        return TW_ERR_LIMIT;
    }
    if (!twi_edl_fits_clock(&out))
        return TW_ERR_LIMIT;
    sort(&out, 0, in_order);
    twi_edl_reels(&out);
    settle_numbers(&out);
    put_header(&out);
    put_list_lines(&out, false);
    for (size_t i = 0; i < out.count; i++)
        twi_edl_put_event(&out, &out.events[i], out.numbered ? own_number(&out.events[i]) : i + 1);
    put_list_lines(&out, true);
    if (part == 0)
        say_rate(&out);
    twi_edl_say_losses(&out);
    return TW_OK;
}
