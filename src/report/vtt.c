/* SPDX-License-Identifier: Apache-2.0
 *
 * Framing notes as WebVTT (W3C): what an assistant reads over the proxy while typing numbers.
 */
#include "report_internal.h"

/* One cue: a hold or a move of one shot. Frames are those of tw_key, half open. */
typedef struct cue {
    size_t shot, part; /* number of the shot, and of the cue in it, from 0 */
    int64_t from, to;
    int64_t length;    /* of the whole of it on the record, seen or not */
    const tw_key *key; /* where it holds, or where it goes; NULL without framing */
    bool move, step, trembles;
    tw_span seen; /* frames of the programme */
} cue;

typedef struct track {
    tw_arena *arena;
    const tw_derived_delivery *delivery;
    const tw_timeline *master;
    cue *at;
    size_t len, cap;
} track;

/* ---- text ------------------------------------------------------------------------------------------------ */

/* Cue text: no line ends or other control characters of its own, and the characters WebVTT reserves in cue text
 * escaped, '>' too, so that "-->" cannot come up. */
static void add_text(tw_str s, tw_buf *out)
{
    size_t from = 0;
    for (size_t i = 0; i < s.len; i++) {
        char c = s.at[i];
        const char *escaped = c == '&' ? "&amp;" : c == '<' ? "&lt;" : c == '>' ? "&gt;" : NULL;
        if (escaped == NULL)
            continue;
        tw_buf_add_shown(out, (tw_str){s.at + from, i - from});
        tw_buf_addz(out, escaped);
        from = i + 1;
    }
    tw_buf_add_shown(out, tw_str_from(s, from));
}

/* The thousandth that begins in or after a frame: a cue must not begin in the frame before (nearest would, for half of
 * all frames at 23.976). */
static int64_t thousandth(const track *t, int64_t frame)
{
    tw_time ms = tw_time_mul(tw_time_frames(frame, t->master->rate), 1000, 1);
    return ms.num <= 0 ? 0 : (ms.num + ms.den - 1) / ms.den;
}

/* A number of at least that many digits. */
static void add_digits(int64_t value, int64_t least, tw_buf *out)
{
    for (; least > 1 && value < least; least /= 10)
        tw_buf_addc(out, '0');
    tw_buf_add_int(out, value);
}

/* HH:MM:SS.mmm */
static void add_time(const track *t, int64_t frame, tw_buf *out)
{
    int64_t whole = thousandth(t, frame);
    add_digits(whole / 3600000, 10, out);
    tw_buf_addc(out, ':');
    add_digits(whole / 60000 % 60, 10, out);
    tw_buf_addc(out, ':');
    add_digits(whole / 1000 % 60, 10, out);
    tw_buf_addc(out, '.');
    add_digits(whole % 1000, 100, out);
}

static void add_window(const tw_framing *framing, const tw_key *key, tw_buf *out)
{
    tw_window win = tw_geom_key_window(*key, framing->squeeze, framing->delivery);
    tw_xml_add_num(out, win.x, 0);
    tw_buf_addc(out, ',');
    tw_xml_add_num(out, win.y, 0);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.w, 0);
    tw_buf_addc(out, 'x');
    tw_xml_add_num(out, win.h, 0);
    tw_buf_addz(out, " (");
    tw_buf_add_fixed(out, tw_geom_zoom(key->w, framing->source, framing->squeeze, framing->delivery), 2);
    tw_buf_addz(out, "x)");
}

/* " on hands and face": the regions (musts, or else the nice ones) that lie in the window at a frame. */
static void add_held(const track *t, const tw_decision *shot, const cue *c, tw_buf *out)
{
    tw_window win = tw_geom_key_window(*c->key, shot->framing->squeeze, shot->framing->delivery);
    double middle = (double)(c->from + (c->to - c->from) / 2);
    bool must = false;
    for (size_t i = 0; i < shot->region_count; i++)
        must = must || shot->regions[i]->must;
    const char *before = " on ";
    for (size_t i = 0; i < shot->region_count; i++) {
        const tw_region *r = shot->regions[i];
        tw_region_key box;
        if (r->must != must || r->name.len == 0 || !twi_report_box(t->master, shot, r, middle, &box))
            continue;
        double w = shot->framing->source.w, h = shot->framing->source.h;
        tw_cut cut =
            tw_geom_cut(win, box.left * w, box.top * h, (box.left + box.width) * w, (box.top + box.height) * h);
        if (cut.left + cut.right + cut.top + cut.bottom > 1)
            continue;
        tw_buf_addz(out, before);
        add_text(r->name, out);
        before = " and ";
    }
}

static void add_action(const track *t, const tw_decision *shot, const cue *c, tw_buf *out)
{
    if (shot->framing->mode == TW_FRAME_FIT) { /* the whole picture: no window to type */
        add_text(shot->why, out);
        return;
    }
    if (c->trembles) { /* not for reading: the table of keys has them */
        tw_buf_addf(out, "%lld windows, one a frame, first", (long long)c->length);
    } else if (shot->verdict == TW_VERDICT_NOT_FRAMED) {
        add_text(shot->why, out);
    } else if (c->move) {
        tw_buf_addf(out, "move over %lld frames to", (long long)c->length);
    } else {
        tw_buf_addz(out, c->step ? "step to" : shot->moving ? "hold" : "still");
        if (!c->step)
            add_held(t, shot, c, out);
    }
    tw_buf_addz(out, c->move || c->step || c->trembles ? " window " : ", window ");
    add_window(shot->framing, c->key, out);
}

static void add_words(const track *t, const tw_decision *shot, tw_buf *out)
{
    for (size_t i = 0; i < shot->note_count; i++) {
        if (tw_str_trim(shot->notes[i]->say).len == 0)
            continue;
        tw_buf_addc(out, '\n');
        add_text(tw_str_trim(shot->notes[i]->say), out);
    }
    for (size_t i = 0; i < shot->path.compromise_count; i++) {
        tw_buf_addz(out, "\n! ");
        add_text(tw_derive_say(t->arena, shot, &shot->path.compromises[i]), out);
    }
}

static void add_cue(const track *t, const cue *c, tw_buf *out)
{
    const tw_decision *shot = &t->delivery->shots[c->shot];
    tw_buf_addz(out, "\ns");
    tw_buf_add_int(out, (int64_t)c->shot + 1);
    tw_buf_addc(out, '-');
    tw_buf_add_int(out, (int64_t)c->part + 1);
    tw_buf_addc(out, '\n');
    add_time(t, c->seen.first, out);
    tw_buf_addz(out, " --> ");
    add_time(t, c->seen.end, out);
    tw_buf_addc(out, '\n');
    add_text(twi_report_event(t->arena, shot, c->shot), out);
    tw_buf_addc(out, ' ');
    add_text(tw_item_source_name(shot->clip), out);
    tw_buf_addz(out, shot->clip->enabled ? " " : " (disabled) ");
    if (shot->framing == NULL)
        add_text(shot->why, out);
    else
        add_action(t, shot, c, out);
    if (c->part == 0)
        add_words(t, shot, out);
    tw_buf_addc(out, '\n');
}

/* ---- cues of a shot -------------------------------------------------------------------------------------- */

static const tw_stand *stand_of(const track *t, size_t shot)
{
    return t->delivery->shots[shot].stand;
}

/* Adds the part of [from, to) that is seen. */
static void push(track *t, cue c)
{
    const tw_stand *stand = stand_of(t, c.shot);
    int64_t start = tw_time_round(t->master->start, t->master->rate, NULL);
    c.length = tw_stand_record(stand, c.to) - tw_stand_record(stand, c.from);
    const tw_span body = stand->body;
    c.seen = tw_stand_span(stand, c.from < body.first ? body.first : c.from, c.to > body.end ? body.end : c.to);
    c.seen = (tw_span){c.seen.first - start, c.seen.end - start};
    if (stand->nesting.speed < 0) { /* from its end to its beginning */
        c.length = -c.length;
        c.key -= c.move;
        c.step = false;
    }
    if (thousandth(t, c.seen.first) >= thousandth(t, c.seen.end))
        return;
    if (t->len > 0 && t->at[t->len - 1].shot == c.shot)
        c.part = t->at[t->len - 1].part + 1;
    TW_PUSH(t->arena, t->at, t->len, t->cap) = c;
}

#define TREMBLE 4 /* links of one frame in a row are no steps: the window goes along with the picture's shake */

/* The last of the links of one frame that follow each other from key k on; k when there are too few. */
static size_t trembles_to(const tw_framing *f, size_t k)
{
    size_t last = k;
    while (last + 1 < f->key_count && f->keys[last + 1].frame - f->keys[last].frame == 1)
        last++;
    return last - k >= TREMBLE ? last : k;
}

/* Holds and moves in turn; a link of one frame is a step and belongs to the hold after it. */
static void cut_moving(track *t, size_t index, tw_span body)
{
    const tw_framing *f = t->delivery->shots[index].framing;
    cue hold = {.shot = index, .from = body.first, .key = &f->keys[0]};
    for (size_t k = 1; k < f->key_count; k++) {
        const tw_key *a = &f->keys[k - 1], *b = &f->keys[k];
        size_t last = trembles_to(f, k - 1);
        if (last > k - 1) {
            hold.to = a->frame;
            if (hold.to > hold.from)
                push(t, hold);
            push(t, (cue){.shot = index, .from = a->frame, .to = f->keys[last].frame + 1, .key = a, .trembles = true});
            hold = (cue){.shot = index, .from = f->keys[last].frame + 1, .key = &f->keys[last]};
            k = last;
            continue;
        }
        if (tw_key_same_place(a, b))
            continue;
        bool step = b->frame - a->frame <= 1;
        hold.to = step ? b->frame : a->frame;
        if (hold.to > hold.from)
            push(t, hold);
        if (!step)
            push(t, (cue){.shot = index, .from = a->frame, .to = b->frame, .key = b, .move = true});
        hold = (cue){.shot = index, .from = b->frame, .key = b, .step = step};
    }
    hold.to = body.end;
    if (hold.to > hold.from)
        push(t, hold);
}

static const tw_key *key_at(const track *t, const tw_framing *f, int64_t frame)
{
    const tw_path_view path = {f->keys, f->key_count};
    tw_key *key = TW_NEW(t->arena, tw_key);
    *key = tw_path_at_form(path, (tw_path_form)f->interp, (double)frame);
    return key;
}

static void cut_shot(track *t, size_t index)
{
    const tw_decision *shot = &t->delivery->shots[index];
    const tw_stand *stand = stand_of(t, index);
    const tw_framing *f = shot->framing;
    if (shot->verdict == TW_VERDICT_BLACK)
        return;
    bool frozen = !(stand->nesting.speed > 0) && !(stand->nesting.speed < 0);
    if (f != NULL && f->key_count > 1 && !frozen) {
        cut_moving(t, index, stand->body);
        return;
    }
    cue whole = {.shot = index, .from = stand->body.first, .to = stand->body.end};
    if (f != NULL)
        whole.key = frozen ? key_at(t, f, tw_stand_frame(stand, stand->seen.first)) : f->keys;
    push(t, whole);
}

/* WebVTT wants starts that do not decrease; on equal starts the lower track first, as in the edit. */
static int by_start(const void *a, const void *b)
{
    const cue *x = a, *y = b;
    return tw_then(TW_CMP(x->seen.first, y->seen.first), tw_then(TW_CMP(x->shot, y->shot), TW_CMP(x->part, y->part)));
}

/* One track of an edit comes in order by itself. */
static bool in_order(const track *t)
{
    size_t i = 1;
    while (i < t->len && by_start(&t->at[i - 1], &t->at[i]) < 0)
        i++;
    return i >= t->len;
}

void tw_report_vtt(const tw_derived *derived, size_t delivery, tw_buf *out)
{
    track t = {.arena = tw_arena_like(out->arena), .master = derived->master};
    t.delivery = &derived->deliveries[delivery];
    for (size_t i = 0; i < t.delivery->shot_count; i++)
        cut_shot(&t, i);
    if (!in_order(&t))
        TW_SORT(t.at, t.len, by_start);
    const tw_delivery *d = t.delivery->delivery;
    tw_buf_addz(out, "WEBVTT - ");
    add_text(tw_str_stem(derived->master->file), out);
    tw_buf_addf(out, " %.*s %dx%d framing notes\n", TW_ARG(d->name), d->size.w, d->size.h);
    tw_buf_addz(out, "\nNOTE\nwindow left,top widthxheight in source pixels, then the zoom; lines with ! say what was"
                     " given up\ncues are called sSHOT-PART; SHOT is its number on the sheet\n");
    for (size_t i = 0; i < t.len; i++)
        add_cue(&t, &t.at[i], out);
    tw_arena_free(&t.arena);
}
