/* SPDX-License-Identifier: Apache-2.0
 *
 * One shot of the sheet: what it is, its pictures, why they are framed so, and the numbers.
 */
#include "report_internal.h"

/* ---- verdicts -------------------------------------------------------------------------------------------- */

static const tw_sheet_agreed *agreed_of(const twi_sheet *s, size_t delivery, size_t index)
{
    static const tw_sheet_agreed none = {.state = TW_SHEET_NOT_AGREED};
    return s->options->agreed != NULL ? &s->options->agreed[delivery][index] : &none;
}

void twi_sheet_agreed(const twi_sheet *s, size_t delivery, size_t index, tw_buf *out)
{
    const tw_sheet_agreed *agreed = agreed_of(s, delivery, index);
    if (agreed->state == TW_SHEET_NOT_AGREED)
        return;
    tw_buf_addf(out, "agreed%s%.*s%s", agreed->by.len > 0 ? " by " : "", TW_ARG(agreed->by),
                agreed->state == TW_SHEET_WOULD_CHANGE ? ", would change" : "");
}

twi_eyes twi_sheet_eyes(const twi_sheet *s, size_t delivery, size_t index)
{
    if (agreed_of(s, delivery, index)->state == TW_SHEET_WOULD_CHANGE)
        return TWI_EYES_AGREED;
    switch (s->derived->deliveries[delivery].shots[index].verdict) {
    case TW_VERDICT_UNKNOWN: return TWI_EYES_SIZE;
    case TW_VERDICT_COMPROMISE: return TWI_EYES_CUT;
    case TW_VERDICT_NOT_FRAMED: return TWI_EYES_OPEN;
    default: return TWI_EYES_NONE;
    }
}

/* A sign and a word, so that no colour is needed to tell them apart. */
static const char *verdict_words(const tw_decision *shot)
{
    switch (shot->verdict) {
    case TW_VERDICT_FRAMED: return shot->moving ? "\xE2\x97\x8F framed, moving" : "\xE2\x97\x8F framed";
    case TW_VERDICT_COMPROMISE: return shot->moving ? "\xE2\x96\xB2 compromise, moving" : "\xE2\x96\xB2 compromise";
    case TW_VERDICT_NOT_FRAMED: return "\xE2\x97\x8B not framed yet";
    case TW_VERDICT_GRAPHIC: return "\xE2\x96\xA0 shown whole: rebuild";
    case TW_VERDICT_BLACK: return "\xE2\x80\x93 nothing to frame";
    case TW_VERDICT_UNKNOWN: return shot->endless ? "? too long to be framed" : "? size not known";
    }
    return "";
}

/* ---- the head -------------------------------------------------------------------------------------------- */

static void add_source_time(const twi_sheet *s, const tw_item *clip, int64_t frame, tw_buf *out)
{
    const tw_timeline *t = s->derived->master;
    tw_tc_add(tw_item_shown_frame(t, clip, frame), tw_item_source_rate(t, clip), clip->source_drop, out);
}

static void add_record_time(const twi_sheet *s, int64_t record, tw_buf *out)
{
    const tw_timeline *t = s->derived->master;
    tw_tc_add(record, t->rate, t->drop, out);
}

static void term(tw_xml *x, const char *what, const tw_buf *text)
{
    tw_xml_open(x, "div");
    tw_xml_leaf(x, "dt", tw_str_z(what));
    tw_xml_leaf(x, "dd", tw_buf_str(text));
    tw_xml_close(x);
}

static void add_speed(const tw_item *clip, tw_buf *out)
{
    if (clip->variable_speed)
        tw_buf_addz(out, ", variable speed");
    else if (clip->speed >= 0 && clip->speed <= 0)
        tw_buf_addz(out, ", freeze");
    else if (clip->speed < 1 || clip->speed > 1) {
        tw_buf_addz(out, ", speed ");
        tw_xml_add_num(out, clip->speed * 100, 1);
        tw_buf_addz(out, " %");
    }
    if (!clip->enabled)
        tw_buf_addz(out, ", disabled");
}

static void write_length(const twi_sheet *s, const tw_decision *shot)
{
    int64_t frames = tw_item_frames(s->derived->master, shot->clip);
    tw_buf text = {.arena = s->arena};
    tw_buf_addf(&text, "%lld frame%s", (long long)frames, TW_PLURAL(frames));
    if (shot->first < 0)
        tw_buf_addf(&text, ", %lld more in the transition before", (long long)-shot->first);
    if (shot->first + shot->frames > frames)
        tw_buf_addf(&text, ", %lld more in the transition after", (long long)(shot->first + shot->frames - frames));
    tw_span seen = shot->stand->seen;
    if (seen.end - seen.first != frames)
        tw_buf_addf(&text, ", seen for %lld on the record", (long long)(seen.end - seen.first));
    add_speed(shot->clip, &text);
    if (shot->parts > 1)
        tw_buf_addf(&text, ", part %zu of %zu of one take", shot->part + 1, shot->parts);
    term(s->x, "length", &text);
}

/* Its name; of several picture tracks without names the number, from the bottom. */
static void add_track(const twi_sheet *s, const tw_decision *shot, tw_buf *out)
{
    const tw_timeline *t = s->derived->master;
    size_t pictures = 0, number = 0;
    for (size_t i = 0; i < t->track_count; i++) {
        pictures += t->tracks[i].kind == TW_TRACK_VIDEO;
        if (&t->tracks[i] == shot->track)
            number = pictures;
    }
    if (shot->track->name.len > 0)
        tw_buf_add(out, shot->track->name);
    else if (pictures > 1 && number > 0)
        tw_buf_addf(out, "%zu", number);
}

static void write_facts(const twi_sheet *s, const tw_decision *shot)
{
    const tw_item *clip = shot->clip;
    const tw_stand *stand = shot->stand;
    tw_xml_open(s->x, "dl");
    tw_xml_inline(s->x); /* of 2,000 shots a browser keeps every blank between elements */
    tw_buf text = {.arena = s->arena};
    if (clip->event.len > 0) {
        tw_buf_add(&text, clip->event);
        term(s->x, "event", &text);
        text.len = 0;
    }
    add_track(s, shot, &text);
    if (text.len > 0)
        term(s->x, "track", &text);
    text.len = 0;
    add_record_time(s, stand->seen.first, &text);
    tw_buf_addz(&text, " \xE2\x80\x93 ");
    add_record_time(s, stand->seen.end, &text);
    term(s->x, "record", &text);
    if (clip->has_source) {
        text.len = 0;
        add_source_time(s, clip, tw_stand_frame(stand, stand->seen.first), &text);
        tw_buf_addz(&text, " \xE2\x80\x93 ");
        add_source_time(s, clip, tw_stand_frame(stand, stand->seen.end), &text);
        term(s->x, "source", &text);
    }
    write_length(s, shot);
    tw_xml_close(s->x);
}

static void write_head(const twi_sheet *s, const tw_decision *shot, size_t index)
{
    tw_xml *x = s->x;
    tw_str reel = tw_item_source_name(shot->clip);
    tw_xml_open(x, "header");
    tw_xml_open(x, "h3");
    tw_xml_inline(x);
    tw_xml_open(x, "a");
    tw_xml_attrf(x, "href", "#s%zu", index + 1);
    tw_xml_textf(x, "%zu", index + 1);
    tw_xml_close(x);
    tw_xml_textf(x, " %.*s", TW_ARG(reel));
    if (shot->clip->name.len > 0 && !tw_str_eq(shot->clip->name, reel)) {
        tw_xml_textz(x, " ");
        tw_xml_leaf(x, "small", shot->clip->name);
    }
    tw_xml_close(x);
    write_facts(s, shot);
    tw_xml_close(x);
}

/* ---- the pictures and their words ------------------------------------------------------------------------ */

static void ratio_style(tw_xml *x, tw_arena *arena, double ratio)
{
    tw_buf style = {.arena = arena};
    tw_buf_addz(&style, "--r:");
    tw_xml_add_num(&style, ratio, 4);
    tw_xml_attr(x, "style", tw_buf_str(&style));
}

static void write_whole(const twi_sheet *s, const tw_decision *shot, size_t index, tw_str still)
{
    tw_xml *x = s->x;
    tw_xml_open_with(x, "figure", "class", "whole");
    ratio_style(x, s->arena, shot->source->size.w * shot->source->squeeze / shot->source->size.h);
    twi_sheet_whole(s, index, still);
    tw_xml_open(x, "figcaption");
    tw_xml_textf(x, "whole picture %dx%d", shot->source->size.w, shot->source->size.h);
    tw_xml_close_to(x, x->depth - 2);
}

static void write_frame(const twi_sheet *s, size_t delivery, size_t index)
{
    tw_xml *x = s->x;
    const tw_derived_delivery *d = &s->derived->deliveries[delivery];
    const tw_decision *shot = &d->shots[index];
    tw_xml_open(x, "figure");
    tw_xml_attrf(x, "class", "d d%zu", delivery);
    ratio_style(x, s->arena, (double)d->delivery->size.w / d->delivery->size.h);
    twi_sheet_frame(s, delivery, index);
    tw_xml_open(x, "figcaption");
    tw_xml_inline(x);
    tw_xml_leaf(x, "b", d->delivery->name);
    tw_xml_open_with(x, "span", "class", twi_sheet_eyes(s, delivery, index) != TWI_EYES_NONE ? "v look" : "v");
    tw_xml_textz(x, verdict_words(shot));
    tw_buf agreed = {.arena = s->arena};
    twi_sheet_agreed(s, delivery, index, &agreed);
    if (agreed.len > 0)
        tw_xml_textf(x, "; %.*s", TW_ARG(tw_buf_str(&agreed)));
    tw_xml_close(x);
    tw_xml_open(x, "label");
    tw_xml_open_with(x, "input", "type", "checkbox");
    tw_xml_attrf(x, "name", "s%zu.%.*s", index + 1, TW_ARG(d->delivery->name));
    tw_xml_attrf(x, "aria-label", "looks right: shot %zu, %.*s", index + 1, TW_ARG(d->delivery->name));
    tw_xml_close(x);
    tw_xml_textz(x, " looks right");
    tw_xml_close_to(x, x->depth - 3);
}

/* One line per delivery, or one for all when it is the same. */
static void write_reasons(const twi_sheet *s, size_t index)
{
    const tw_derived *derived = s->derived;
    tw_xml *x = s->x;
    bool same = true;
    for (size_t d = 1; d < derived->delivery_count; d++)
        same = same && tw_str_eq(derived->deliveries[d].shots[index].why, derived->deliveries[0].shots[index].why);
    tw_xml_open_with(x, "ul", "class", "why");
    for (size_t d = 0; d < (same ? 1 : derived->delivery_count); d++) {
        tw_xml_open(x, "li");
        if (!same) {
            tw_xml_attrf(x, "class", "d d%zu", d);
            tw_xml_inline(x);
            tw_xml_leaf(x, "b", derived->deliveries[d].delivery->name);
            tw_xml_textz(x, " ");
        }
        tw_xml_text(x, derived->deliveries[d].shots[index].why);
        tw_xml_close(x);
    }
    tw_xml_close(x);
}

/* The words of every note that any delivery heeds, once. */
static void write_notes(const twi_sheet *s, size_t index)
{
    const tw_derived *derived = s->derived;
    for (size_t d = 0; d < derived->delivery_count; d++) {
        const tw_decision *shot = &derived->deliveries[d].shots[index];
        for (size_t n = 0; n < shot->note_count; n++) {
            const tw_note *note = shot->notes[n];
            bool said = tw_str_trim(note->say).len == 0;
            for (size_t e = 0; e < d && !said; e++)
                for (size_t m = 0; m < derived->deliveries[e].shots[index].note_count; m++)
                    said = said || derived->deliveries[e].shots[index].notes[m] == note;
            if (said)
                continue;
            tw_xml_open(s->x, "blockquote");
            tw_xml_text(s->x, tw_str_trim(note->say));
            tw_xml_open(s->x, "cite");
            tw_xml_textf(s->x, " %.*s%s%.*s", TW_ARG(note->id), note->by.len > 0 ? ", " : "", TW_ARG(note->by));
            tw_xml_close_to(s->x, s->x->depth - 2);
        }
    }
}

/* ---- the numbers ----------------------------------------------------------------------------------------- */

static void cell(const twi_sheet *s, double value, int places)
{
    tw_xml_open(s->x, "td");
    tw_buf text = {.arena = s->arena};
    tw_xml_add_num(&text, value, places);
    tw_xml_text(s->x, tw_buf_str(&text));
    tw_xml_close(s->x);
}

bool twi_sheet_every_frame(const tw_decision *shot)
{
    return shot->framing != NULL && shot->path.steadied > 0 && shot->framing->key_count > 3;
}

static void write_key(const twi_sheet *s, const tw_decision *shot, const tw_key *key)
{
    const tw_framing *f = shot->framing;
    tw_window win = tw_geom_key_window(*key, f->squeeze, f->delivery);
    double right, down;
    tw_geom_move(win, f->source, f->delivery, &right, &down);
    tw_buf text = {.arena = s->arena};
    cell(s, (double)key->frame, 0);
    add_record_time(s, tw_stand_record(shot->stand, key->frame), &text);
    tw_xml_leaf(s->x, "td", tw_buf_str(&text));
    cell(s, win.x, 1);
    cell(s, win.y, 1);
    cell(s, win.w, 1);
    cell(s, win.h, 1);
    cell(s, tw_geom_scale(win.w, f->delivery) * 100, 2);
    if (f->mode == TW_FRAME_FIT)
        tw_xml_leaf(s->x, "td", TW_STR("whole"));
    else
        cell(s, tw_geom_zoom(win.w, f->source, f->squeeze, f->delivery), 3);
    cell(s, right, 1);
    cell(s, down, 1);
    cell(s, key->ease, 1);
}

/* One row for the keys between the first and the last, one a frame: for typing they stand in the table of keys. */
static void write_keys_between(const twi_sheet *s, size_t delivery, const tw_framing *f)
{
    tw_xml *x = s->x;
    tw_xml_open(x, "tr");
    tw_xml_attrf(x, "class", "d d%zu", delivery);
    tw_xml_inline(x);
    tw_xml_open_with(x, "th", "scope", "row");
    tw_xml_text(x, s->derived->deliveries[delivery].delivery->name);
    tw_xml_textf(x, " 2\xE2\x80\x93%zu", f->key_count - 1);
    tw_xml_close(x);
    tw_xml_open_with(x, "td", "colspan", "11");
    tw_xml_textz(x, "one a frame, against the camera\xE2\x80\x99s shake: they stand in the .keys.csv");
    tw_xml_close_to(x, x->depth - 2);
}

static void write_keys(const twi_sheet *s, size_t delivery, size_t index)
{
    const tw_derived_delivery *d = &s->derived->deliveries[delivery];
    const tw_framing *f = d->shots[index].framing;
    bool ends_only = twi_sheet_every_frame(&d->shots[index]);
    for (size_t k = 0; f != NULL && k < f->key_count; k++) {
        if (ends_only && k > 0 && k + 1 < f->key_count) {
            write_keys_between(s, delivery, f);
            k = f->key_count - 1;
        }
        tw_xml_open(s->x, "tr");
        tw_xml_attrf(s->x, "class", "d d%zu", delivery);
        tw_xml_inline(s->x);
        tw_xml_open_with(s->x, "th", "scope", "row");
        tw_xml_text(s->x, d->delivery->name);
        if (f->key_count > 1)
            tw_xml_textf(s->x, " %zu", k + 1);
        tw_xml_close(s->x);
        write_key(s, &d->shots[index], &f->keys[k]);
        tw_xml_close(s->x);
    }
}

static size_t key_rows(const twi_sheet *s, size_t index)
{
    size_t rows = 0;
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_framing *f = s->derived->deliveries[d].shots[index].framing;
        bool ends_only = twi_sheet_every_frame(&s->derived->deliveries[d].shots[index]);
        rows += f == NULL ? 0 : ends_only ? 3 : f->key_count;
    }
    return rows;
}

static void write_numbers(const twi_sheet *s, size_t index)
{
    static const char *const heads[] = {"shape and key", "frame",   "record", "left",       "top",       "width",
                                        "height",        "scale %", "zoom",   "move right", "move down", "ease"};
    tw_xml *x = s->x;
    tw_xml_open_with(x, "div", "class", "numbers");
    tw_xml_open(x, "table");
    tw_xml_open(x, "thead");
    tw_xml_open(x, "tr");
    tw_xml_inline(x);
    for (size_t i = 0; i < TW_COUNT(heads); i++)
        twi_sheet_head(x, heads[i]);
    tw_xml_close_to(x, x->depth - 2);
    tw_xml_open(x, "tbody");
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        write_keys(s, d, index);
    tw_xml_close_to(x, x->depth - 3);
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

#define LONG_TABLE 24 /* rows above which a shot may take more than a page */

/* What filters look at: "eyes" and, by delivery, "e0"; so too for moving and open ones. */
static tw_str classes_of(const twi_sheet *s, size_t index)
{
    tw_buf names = {.arena = s->arena}, each = {.arena = s->arena};
    bool eyes = false, moving = false, open = false;
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_decision *shot = &s->derived->deliveries[d].shots[index];
        bool look = twi_sheet_eyes(s, d, index) != TWI_EYES_NONE, unframed = shot->verdict == TW_VERDICT_NOT_FRAMED;
        if (look)
            tw_buf_addf(&each, " e%zu", d);
        if (shot->moving)
            tw_buf_addf(&each, " m%zu", d);
        if (unframed)
            tw_buf_addf(&each, " o%zu", d);
        eyes = eyes || look;
        moving = moving || shot->moving;
        open = open || unframed;
    }
    tw_buf_addf(&names, "shot%s%s%s%s", eyes ? " eyes" : "", moving ? " moving" : "", open ? " open" : "",
                key_rows(s, index) > LONG_TABLE ? " long" : "");
    tw_buf_add(&names, tw_buf_str(&each));
    return tw_buf_str(&names);
}

/* For the script: number of the first frame, how many, and how many a second. */
static void write_clock(const twi_sheet *s, const tw_decision *shot)
{
    tw_buf text = {.arena = s->arena};
    tw_buf_addf(&text, "%lld %lld ", (long long)shot->first, (long long)shot->frames);
    tw_xml_add_num(&text, tw_rate_fps(s->derived->master->rate), 6);
    tw_xml_attr(s->x, "data-frames", tw_buf_str(&text));
}

void twi_sheet_shot(const twi_sheet *s, size_t index)
{
    tw_xml *x = s->x;
    const tw_decision *shot = &s->derived->deliveries[0].shots[index];
    tw_str still = {NULL, 0};
    if (s->options->still != NULL)
        still = s->options->still(s->options->still_context, tw_report_still_name(s->arena, s->derived->master,
                                                                                  shot->clip, shot->stand->body.first));
    tw_xml_open(x, "section");
    tw_xml_attr(x, "class", classes_of(s, index));
    tw_xml_attrf(x, "id", "s%zu", index + 1);
    if (twi_sheet_moves(s, index))
        write_clock(s, shot);
    write_head(s, shot, index);
    tw_xml_open_with(x, "div", "class", still.len > 0 ? "strip photo" : "strip");
    if (shot->source != NULL && shot->source->size.w > 0)
        write_whole(s, shot, index, still);
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        write_frame(s, d, index);
    tw_xml_close(x);
    write_reasons(s, index);
    write_notes(s, index);
    if (key_rows(s, index) > 0)
        write_numbers(s, index);
    tw_xml_close(x);
}
