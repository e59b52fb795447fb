/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "edl_out.h"

/* The classic columns: number, two blanks, reel, then 65 characters that are the same in every width:
 * channels at 1, transition at 7, its length at 12, the four times at 16, 28, 40 and 52 (counted from the reel's
 * end). */

static void put(twi_out *out, tw_str text)
{
    tw_buf_add(out->text, text);
}

static void put_end(twi_out *out)
{
    put(out, out->end);
}

static void put_padded(twi_out *out, tw_str text, size_t width)
{
    put(out, text);
    tw_buf_fill(out->text, ' ', text.len < width ? width - text.len : 0);
}

static void put_time(twi_out *out, int64_t frames, tw_rate rate, bool drop)
{
    char label[12];
    tw_tc_write(frames, rate, drop, true, label);
    tw_buf_addz(out->text, label);
}

/* Sound channels 3 and 4 stand in an AUD line where the word cannot name them. */
static tw_str channel_word(twi_out *out, uint32_t channels)
{
    static const char *const words[8] = {"NONE", "V", "A", "B", "A2", "A2/V", "AA", "AA/V"};
    uint32_t base = channels & 7u, more = channels & ~7u;
    if (base == 0 && more != 0 && (more & (more - 1)) == 0) {
        unsigned n = 0;
        while (more >> n != 1)
            n++;
        return tw_arena_printf(out->arena, "A%u", n);
    }
    return tw_str_z(words[base]);
}

static void put_aud(twi_out *out, uint32_t channels)
{
    uint32_t more = channels & (1u << 3 | 1u << 4);
    bool in_word = (channels & 7u) == 0 && (more & (more - 1)) == 0;
    if (more == 0 || in_word)
        return;
    tw_buf_addz(out->text, "AUD  ");
    tw_buf_addz(out->text, more & 1u << 3 ? "3" : " ");
    if (more & 1u << 4)
        tw_buf_addz(out->text, "    4");
    put_end(out);
}

/* ---- event lines ----------------------------------------------------------------------------------------- */

typedef struct line {
    tw_str reel, cut;
    int64_t mix; /* -1: blank */
    int64_t source_in, source_out, in, out;
    tw_rate source_rate;
    bool source_drop;
} line;

static void put_line(twi_out *out, size_t number, uint32_t channels, const line *l)
{
    const tw_timeline *t = out->timeline;
    tw_buf_addf(out->text, "%0*zu  ", (int)out->number_width, number);
    put_padded(out, l->reel, out->reel_width);
    tw_buf_addc(out->text, ' ');
    put_padded(out, channel_word(out, channels), 6);
    put_padded(out, l->cut, 5);
    if (l->mix >= 0)
        tw_buf_addf(out->text, "%03lld ", (long long)l->mix);
    else
        tw_buf_addz(out->text, "    ");
    const int64_t times[] = {l->source_in, l->source_out, l->in, l->out};
    for (int i = 0; i < 4; i++) {
        put_time(out, times[i], i < 2 ? l->source_rate : t->rate, i < 2 ? l->source_drop : t->drop);
        put(out, i < 3 ? TW_STR(" ") : out->end);
    }
}

static void set_source(const twi_out *out, const tw_item *item, line *l)
{
    bool own = item != NULL && !tw_item_is_black(item);
    l->source_rate = own ? twi_edl_source_rate(out, item) : out->timeline->rate;
    bool drop = own && tw_rate_known(item->source_rate) ? item->source_drop : out->timeline->drop;
    l->source_drop = drop && tw_rate_can_drop(l->source_rate);
}

static tw_str cut_word(twi_out *out, const twi_out_event *e)
{
    switch (e->cut) {
    case TWI_DISSOLVE: return TW_STR("D");
    case TWI_WIPE: return tw_arena_printf(out->arena, "W%03u", e->wipe);
    case TWI_KEY:
    case TWI_KEY_BACK: return TW_STR("K");
    case TWI_KEY_OUT: return TW_STR("K O");
    default: return TW_STR("C");
    }
}

static void put_lines(twi_out *out, const twi_out_event *e, size_t number)
{
    line l = {.reel = e->from_reel, .cut = TW_STR("C"), .mix = -1};
    if (e->cut == TWI_DISSOLVE || e->cut == TWI_WIPE) {
        bool black = e->from == NULL || tw_item_is_black(e->from);
        set_source(out, e->from, &l);
        l.source_out = black ? 0 : e->from_source;
        l.source_in = e->from_long ? e->from_start : l.source_out;
        l.in = e->from_long ? e->from_in : e->in;
        l.out = e->in;
        put_line(out, number, e->channels, &l);
    }
    l = (line){
        .reel = e->reel, .cut = cut_word(out, e), .mix = e->cut == TWI_CUT ? -1 : e->mix, .in = e->in, .out = e->out};
    set_source(out, e->item, &l);
    l.source_in = e->source_in;
    l.source_out = e->source_in + e->source_span;
    put_line(out, number, e->channels, &l);
}

/* The list's mode is that of its record side; sources that differ are told by an FCM line before their event. */
static void put_mode(twi_out *out, const twi_out_event *e)
{
    line l;
    set_source(out, e->item, &l);
    if (!tw_rate_can_drop(l.source_rate) || l.source_drop == out->source_drop)
        return;
    out->source_drop = l.source_drop;
    tw_buf_addz(out->text, l.source_drop ? "FCM: DROP FRAME" : "FCM: NON-DROP FRAME");
    put_end(out);
}

/* Reel at column 5 or 8, speed right-justified to column 24 or 54, time at 41 or 56. */
static void put_m2(twi_out *out, const twi_out_event *e)
{
    const tw_item *item = e->item;
    if (item == NULL || item->speed == 1 || tw_item_is_black(item))
        return;
    bool wide = out->reel_width > 8;
    line l;
    set_source(out, item, &l);
    double value = fabs(item->speed) * tw_rate_count(l.source_rate);
    tw_buf digits = {.arena = out->arena}, speed = {.arena = out->arena};
    tw_buf_add_fixed(&digits, value, 1);
    if (item->speed < 0)
        tw_buf_addc(&speed, '-');
    tw_buf_fill(&speed, '0', digits.len < 5 ? 5 - digits.len : 0);
    tw_buf_add(&speed, tw_buf_str(&digits));
    size_t start = out->text->len, before = wide ? out->reel_width + 23 - speed.len : 25 - speed.len;
    tw_buf_addz(out->text, wide ? "M2      " : "M2   ");
    put(out, e->reel);
    while (out->text->len - start < before)
        tw_buf_addc(out->text, ' ');
    if (out->text->at[out->text->len - 1] != ' ')
        tw_buf_addc(out->text, ' ');
    put(out, tw_buf_str(&speed));
    while (out->text->len - start < (wide ? out->reel_width + 24 : 41))
        tw_buf_addc(out->text, ' ');
    put_time(out, e->source_in, l.source_rate, l.source_drop);
    put_end(out);
}

/* ---- remarks --------------------------------------------------------------------------------------------- */

static void put_remark(twi_out *out, const char *key, tw_str value, const tw_item *item)
{
    tw_buf_addf(out->text, "* %s: ", key);
    put(out, twi_edl_ascii(out, value, item));
    put_end(out);
}

/* What the column cannot hold, here in UTF-8: notes find their shots by it. */
static void put_reel(twi_out *out, tw_str full, const tw_item *item)
{
    put(out, twi_edl_remark(out, tw_arena_printf(out->arena, "* REEL: %.*s", TW_ARG(full)), item));
    put_end(out);
}

/* Bit set of twi_note_kind that the item's own lines already hold. */
static uint32_t kinds_present(const tw_item *item)
{
    uint32_t kinds = 0;
    for (size_t i = 0; i < item->remark_count; i++)
        kinds |= 1u << twi_edl_kind_of(item->remarks[i].text);
    return kinds;
}

static void put_own_lines(twi_out *out, const tw_item *item, bool splits)
{
    for (size_t i = 0; i < item->remark_count; i++) {
        tw_str text = item->remarks[i].text;
        if ((twi_edl_kind_of(text) == TWI_NOTE_SPLIT) != splits)
            continue;
        put(out, twi_edl_remark(out, text, item));
        put_end(out);
    }
}

static void put_names(twi_out *out, const twi_out_event *e, uint32_t present)
{
    const tw_item *item = e->item;
    bool pair = e->cut != TWI_CUT;
    bool two_lines = e->cut == TWI_DISSOLVE || e->cut == TWI_WIPE; /* a key is written without its background */
    const tw_media *m = tw_item_media(item);
    bool named = present & (1u << TWI_NOTE_FROM_NAME | 1u << TWI_NOTE_TO_NAME);
    if (!named && two_lines && e->from != NULL && e->from->name.len > 0)
        put_remark(out, "FROM CLIP NAME", e->from->name, e->from);
    if (!named && item->name.len > 0)
        put_remark(out, pair ? "TO CLIP NAME" : "FROM CLIP NAME", item->name, item);
    tw_str full = twi_edl_full_reel(item);
    if (!tw_str_eq(full, e->reel) && !(present & 1u << TWI_NOTE_REEL))
        put_reel(out, full, item);
    if (m == NULL || m->kind == TW_MEDIA_GENERATOR)
        return;
    if (m->name.len > 0 && !(present & 1u << TWI_NOTE_SOURCE_FILE))
        put_remark(out, "SOURCE FILE", m->name, item);
    if (m->url.len > 0 && !tw_str_eq(m->url, m->name) &&
        !(present & (1u << TWI_NOTE_FROM_PATH | 1u << TWI_NOTE_TO_PATH)))
        put_remark(out, pair ? "TO CLIP" : "FROM CLIP", m->url, item);
}

static int64_t marker_frame(twi_out *out, const twi_out_event *e, const tw_marker *marker, bool *in_record)
{
    const tw_item *item = e->item;
    tw_rate rate = twi_edl_source_rate(out, item);
    tw_time after = tw_time_sub(marker->at.start, item->source.start);
    double seconds = item->speed != 0 ? tw_time_seconds(after) / item->speed : 0;
    double frame = (double)(e->in + e->moved) + seconds * tw_rate_fps(out->timeline->rate);
    *in_record = frame >= (double)e->in - 0.5 && frame <= (double)e->out + 0.5;
    return *in_record ? (int64_t)floor(frame + 0.5) : tw_time_round(marker->at.start, rate, NULL);
}

static void put_marker(twi_out *out, const twi_out_event *e, const tw_marker *marker)
{
    bool in_record;
    int64_t frame = marker_frame(out, e, marker, &in_record);
    line l;
    set_source(out, e->item, &l);
    tw_str color = marker->color.len > 0 ? twi_edl_one_word(out, marker->color, e->item) : TW_STR("WHITE");
    tw_str text = marker->name.len > 0 ? marker->name : marker->comment;
    tw_buf_addz(out->text, "* LOC: ");
    put_time(out, frame, in_record ? out->timeline->rate : l.source_rate,
             in_record ? out->timeline->drop : l.source_drop);
    tw_buf_addc(out->text, ' ');
    put_padded(out, color, text.len > 0 ? 7 : 0);
    if (text.len > 0)
        tw_buf_addc(out->text, ' ');
    put(out, twi_edl_ascii(out, text, e->item));
    if (marker->name.len > 0 && marker->comment.len > 0 && !tw_str_eq(marker->name, marker->comment)) {
        tw_buf_addz(out->text, " - ");
        put(out, twi_edl_ascii(out, marker->comment, e->item));
    }
    put_end(out);
}

static void put_notes(twi_out *out, const twi_out_event *e)
{
    const tw_item *item = e->item;
    uint32_t present = kinds_present(item);
    put_own_lines(out, item, false);
    put_names(out, e, present);
    if (item->speed == 0 && !(present & 1u << TWI_NOTE_FREEZE) && !tw_item_is_black(item)) {
        tw_buf_addz(out->text, "* * FREEZE FRAME");
        put_end(out);
    }
    for (size_t i = 0; i < item->marker_count && !(present & 1u << TWI_NOTE_LOC); i++)
        put_marker(out, e, &item->markers[i]);
}

/* A source that counts otherwise than the list: its numbers alone would not always tell. */
static void put_rate(twi_out *out, const tw_item *item, bool from)
{
    if (item == NULL || tw_item_is_black(item))
        return;
    tw_rate rate = twi_edl_source_rate(out, item);
    if (!tw_rate_eq(rate, out->timeline->rate))
        twi_edl_write_rate(rate, from, out->end, out->text);
}

/* Keys count from the clip's first frame: a clip that begins earlier here than in its own timeline has later keys. */
static void put_framing(twi_out *out, const twi_out_event *e)
{
    const tw_framing *f = e->item->framing;
    if (f != NULL && e->video != 0)
        twi_edl_write_framing(tw_framing_later(out->arena, f, e->moved), false, out->end, out->text);
}

void twi_edl_put_event(twi_out *out, const twi_out_event *e, size_t number)
{
    if (e->item != NULL)
        put_own_lines(out, e->item, true);
    put_mode(out, e);
    put_lines(out, e, number);
    put_m2(out, e);
    put_aud(out, e->channels);
    if (e->item != NULL)
        put_notes(out, e);
    put_rate(out, e->item, false);
    if (e->cut == TWI_DISSOLVE || e->cut == TWI_WIPE)
        put_rate(out, e->from, true);
    if (e->item != NULL)
        put_framing(out, e);
}
