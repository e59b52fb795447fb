/* SPDX-License-Identifier: Apache-2.0
 *
 * Windows somebody changed in a derived timeline become hand windows in notes.
 *
 * A note's id is made from what it is about (reel, range, delivery): two branches that adopt one shot write one note,
 * and notes about other shots get other ids, so ids do not collide whichever branch they are made on.
 */
#include "recut_internal.h"

#include <math.h>

typedef struct adopting {
    tw_arena *arena;
    const tw_adopt_job *job;
    tw_json *root, *notes;
    tw_diags *diags;
    tw_adopted *out;
    size_t cap;
    const tw_comparison *c;   /* as written against changed */
    const tw_alignment *back; /* master against as written */
    const tw_item **now;      /* by master shot: the adopted clip, or NULL */
} adopting;

/* What a note about a shot says of time. */
typedef struct subject {
    tw_str reel;
    tw_rate rate;
    bool drop;
    int64_t in, out; /* source frames */
    double step;     /* source frames per record frame */
} subject;

/* ---- the note's subject ---------------------------------------------------------------------------------- */

static subject subject_of(const tw_adopt_job *job, const tw_shot *shot)
{
    const tw_timeline *t = job->solved;
    subject s = {.reel = tw_item_source_name(shot->item)};
    tw_plan_clock(job->plan, s.reel, t->rate, t->drop, &s.rate, &s.drop);
    int64_t first = tw_item_shown_frame(t, shot->item, shot->stand.shown.first);
    int64_t last = tw_item_shown_frame(t, shot->item, shot->stand.shown.end - 1);
    s.step = tw_item_source_frame(t, shot->item, 1) - tw_item_source_frame(t, shot->item, 0);
    s.in = first < last ? first : last;
    s.out = (first < last ? last : first) + 1;
    return s;
}

static tw_json *label(const adopting *a, const subject *s, int64_t frame)
{
    return tw_json_new_text(a->arena, tw_tc_text(a->arena, frame, s->rate, s->drop));
}

static const char *id_of(const adopting *a, const subject *s)
{
    tw_str about = tw_arena_printf(a->arena, "%.*s|%lld|%lld|%.*s", TW_ARG(s->reel), (long long)s->in,
                                   (long long)s->out, TW_ARG(a->job->delivery));
    return tw_arena_printf(a->arena, "h-%012llx", (unsigned long long)(tw_str_hash(about) & UINT64_C(0xFFFFFFFFFFFF)))
        .at;
}

/* ---- writing it ------------------------------------------------------------------------------------------ */

static tw_json *number(const adopting *a, double value)
{
    double whole = floor(value + 0.5);
    if (fabs(value - whole) < 1e-6 && fabs(whole) < 1e15)
        return tw_json_new_int(a->arena, (int64_t)whole);
    return tw_json_new_double(a->arena, tw_num_round(value, 6));
}

static tw_json *window_key(const adopting *a, const subject *s, double source, const tw_framing *f, tw_key key)
{
    tw_window w = tw_geom_key_window(key, f->squeeze, f->delivery);
    const double values[] = {source - (double)s->in, w.x, w.y, w.w, key.ease * fabs(s->step)};
    tw_json *row = tw_json_new(a->arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < TW_COUNT(values); i++)
        tw_json_append(row, number(a, values[i]));
    return row;
}

/* Keys in the order of the source, which a clip played backwards turns round. */
static tw_json *window_of(const adopting *a, const subject *s, const tw_item *changed)
{
    const tw_framing *f = changed->framing;
    tw_json *list = tw_json_new(a->arena, TW_JSON_ARRAY);
    bool still = f->key_count == 1;
    for (size_t i = 0; i < f->key_count; i++) {
        tw_key key = f->keys[s->step < 0 ? f->key_count - 1 - i : i];
        double source = still ? (double)s->in : tw_item_source_frame(a->job->changed, changed, key.frame);
        tw_json_append(list, window_key(a, s, source, f, key));
    }
    return list;
}

static tw_json *new_note(const adopting *a, const subject *s, const char *id)
{
    tw_json *note = tw_json_new(a->arena, TW_JSON_OBJECT), *names = tw_json_new(a->arena, TW_JSON_ARRAY);
    tw_json_append(names, tw_json_new_text(a->arena, a->job->delivery));
    tw_json_set_text(a->arena, note, "id", tw_str_z(id));
    tw_json_set_text(a->arena, note, "reel", s->reel);
    tw_json_set(a->arena, note, "in", label(a, s, s->in));
    tw_json_set(a->arena, note, "out", label(a, s, s->out));
    tw_json_set(a->arena, note, "deliveries", names);
    tw_json_append(a->notes, note);
    return note;
}

static void set_text(const adopting *a, tw_json *note, const char *name, tw_str text)
{
    if (text.len > 0)
        tw_json_set_text(a->arena, note, name, text);
}

/* Two uses of just the same frames have one note. */
static void write_note(adopting *a, const subject *s, const tw_shot *shot, const tw_item *changed, double px)
{
    const char *id = id_of(a, s);
    tw_json *note = tw_plan_note_json(a->root, tw_str_z(id)), *window = window_of(a, s, changed);
    bool updated = note != NULL;
    for (size_t i = 0; i < a->out->window_count; i++)
        if (tw_str_is(a->out->windows[i].id, id))
            return;
    if (note == NULL)
        note = new_note(a, s, id);
    tw_json_set(a->arena, note, "window", window);
    if (!updated || !a->job->again)
        set_text(a, note, "say", a->job->say);
    set_text(a, note, "by", a->job->by);
    tw_json_set_text(a->arena, note, "state", TW_STR("open"));
    tw_adopted *out = a->out;
    TW_PUSH(a->arena, out->windows, out->window_count, a->cap) =
        (tw_adopted_window){shot->item, shot->stand.seen.first, tw_str_z(id), updated, px};
}

/* ---- what stands in the way ------------------------------------------------------------------------------ */

static tw_str called(const adopting *a, const tw_shot *shot)
{
    const tw_timeline *t = a->job->solved;
    return tw_arena_printf(a->arena, "%s%.*s%s (%.*s at %s)", shot->item->event.len > 0 ? "event " : "",
                           TW_ARG(shot->item->event), shot->item->event.len > 0 ? "" : "the shot",
                           TW_ARG(tw_item_source_name(shot->item)),
                           tw_tc_text(a->arena, shot->stand.seen.first, t->rate, t->drop).at);
}

/* A hand window of another note for part of what the shot shows: which of the two holds is for a person to say. */
static const tw_note *in_the_way(const adopting *a, const subject *s, const tw_item *item, const char *own_id)
{
    const tw_names names = tw_item_names(item);
    for (size_t i = 0; i < a->job->plan->note_count; i++) {
        const tw_note *n = &a->job->plan->notes[i];
        bool apart = (n->has_in && n->in >= s->out) || (n->has_out && n->out <= s->in);
        if (n->window_count == 0 || apart || !tw_note_covers(n, a->job->delivery) || tw_str_is(n->id, own_id))
            continue;
        size_t count = tw_str_has_wildcard(n->reel) ? names.loose : names.count;
        for (size_t k = 0; k < count; k++)
            if (tw_str_glob(n->reel, names.at[k]))
                return n;
    }
    return NULL;
}

/* Frames of `shot` at which `other` shows the same, both with what transitions show of them. */
static tw_frame_map seen_by_both(const tw_shot *other, const tw_shot *shot)
{
    tw_frame_map map = tw_recut_map(other, shot);
    double first = ((double)other->stand.shown.first - map.offset) / map.scale;
    double end = ((double)other->stand.shown.end - map.offset) / map.scale;
    map.from = (int64_t)tw_max((double)shot->stand.shown.first, ceil(tw_min(first, end)));
    map.to = (int64_t)tw_min((double)shot->stand.shown.end, ceil(tw_max(first, end)));
    return map;
}

/* A shot taken over before that shows some of the same source frames through another window: fork refuses both. */
static const tw_shot *against(const adopting *a, const tw_shot *shot, const tw_item *changed)
{
    for (size_t i = 0; i < a->back->old_count; i++) {
        const tw_shot *other = &a->back->olds[i];
        if (a->now[i] == NULL || other->media != shot->media)
            continue;
        const tw_frame_map map = seen_by_both(other, shot);
        if (map.from < map.to &&
            tw_recut_windows(a->now[i]->framing, changed->framing, map, TW_WINDOW_READ_OFF).changed)
            return other;
    }
    return NULL;
}

/* Fork would refuse the whole plan for it. */
static const char *no_window(const adopting *a, const tw_framing *f, tw_size source)
{
    for (size_t i = 0; i < f->key_count; i++) {
        if (tw_geom_written(f->keys[i].w) <= 1)
            return "it is no wider than a pixel of the source";
        const char *side;
        double px = tw_geom_past(tw_geom_key_window(f->keys[i], f->squeeze, f->delivery), source, &side);
        if (px > TW_WINDOW_READ_OFF)
            return tw_arena_printf(a->arena, "it reaches %lld px past the %s edge of the picture",
                                   (long long)ceil(tw_min(px, 1e9)), side)
                .at;
    }
    return NULL;
}

/* Another file of the delivery has given this note its window. */
static bool is_settled(const adopting *a, const char *id)
{
    for (size_t i = 0; i < a->job->settled_count; i++)
        if (tw_str_is(a->job->settled[i], id))
            return true;
    return false;
}

static const char *refusal(const adopting *a, const subject *s, const tw_shot *shot, const tw_item *changed)
{
    const char *id = id_of(a, s);
    const tw_note *other = in_the_way(a, s, shot->item, id);
    const tw_json *state = tw_json_get(tw_plan_note_json(a->root, tw_str_z(id)), "state");
    if (tw_str_is(tw_json_text(state), "agreed"))
        return tw_arena_printf(a->arena, "note %s is agreed on: set its state to \"open\" first", id).at;
    if (changed->framing == NULL)
        return "its window is gone from the timeline";
    if (changed->framing->mode != TW_FRAME_FILL || shot->item->framing->mode != TW_FRAME_FILL)
        return "it is shown whole in one of the two";
    if (s->step >= 0 && s->step <= 0 && changed->framing->key_count > 1)
        return "a freeze frame has one source frame, and notes go by source frames: a move over it has no place in one";
    if (s->in < 0)
        return "it shows frames before the source's time code begins";
    if (other != NULL)
        return tw_arena_printf(a->arena, "note %.*s frames part of it by hand already: take it out or change it there",
                               TW_ARG(other->id))
            .at;
    return no_window(a, changed->framing, shot->item->framing->source);
}

/* ---- shots ----------------------------------------------------------------------------------------------- */

/* The master's shot behind one of the file as written; NULL when the format could not carry it. */
static const tw_shot *master_shot(const adopting *a, size_t written)
{
    size_t group = a->back->new_group[written];
    return group != SIZE_MAX ? &a->back->olds[a->back->groups[group].olds[0]] : NULL;
}

static void adopt_shot(adopting *a, const tw_change *change)
{
    const tw_shot *shot = master_shot(a, change->olds[0]);
    const tw_item *changed = a->c->alignment->news[change->news[0]].item;
    if (shot == NULL || shot->item->framing == NULL)
        return;
    const subject s = subject_of(a->job, shot);
    const char *why = refusal(a, &s, shot, changed), *id = id_of(a, &s);
    if (why == NULL && is_settled(a, id)) {
        if (tw_json_same(tw_json_get(tw_plan_note_json(a->root, tw_str_z(id)), "window"), window_of(a, &s, changed)))
            return;
        why = "another file of this delivery gives it another window";
    }
    const tw_shot *other = why == NULL ? against(a, shot, changed) : NULL;
    if (other != NULL)
        why = tw_arena_printf(a->arena, "it shows source frames of %.*s, which was given another window",
                              TW_ARG(called(a, other)))
                  .at;
    else if (why == NULL)
        write_note(a, &s, shot, changed, change->window.px);
    if (why == NULL) {
        a->now[shot - a->back->olds] = changed;
        return;
    }
    a->out->refused++;
    tw_diag_add(a->diags, 1804, &changed->place, "%.*s: the window was changed, but not taken over: %s",
                TW_ARG(called(a, shot)), why);
}

/* A cut that one delivery alone has is reported; the master's cut is for the master. */
static void tell_cut(adopting *a, const tw_change *change)
{
    static const char *const what[] = {"has another place or transition",
                                       "has another length",
                                       "has another speed",
                                       "is in two pieces",
                                       "is in one piece",
                                       "has another source",
                                       "is gone",
                                       "is there"};
    const tw_alignment *al = a->c->alignment;
    bool old = change->old_count > 0;
    const tw_shot *shot = old ? &al->olds[change->olds[0]] : &al->news[change->news[0]];
    bool slipped = change->kind == TW_CHANGE_TRIMMED && change->head + change->tail == 0;
    a->out->cuts++;
    const tw_shot *there = change->new_count > 0 ? &al->news[change->news[0]] : shot; /* else in the master alone */
    tw_diag_add(a->diags, 1803, &there->item->place, "%.*s %s in this timeline only; that was not taken over",
                TW_ARG(called(a, shot)), slipped ? "shows an earlier or later part of its source" : what[change->kind]);
}

/* ---- other uses of the same frames ----------------------------------------------------------------------- */

/* Shots that show source frames of an adopted one are framed by its note as well. */
typedef struct use {
    const tw_shot *shot;
    twi_span span;
    double reach; /* the largest high of the material so far */
    const tw_item *now;
} use;

static int by_span(const void *a, const void *b)
{
    const use *x = a, *y = b;
    return tw_then(TW_CMP(x->shot->media, y->shot->media),
                   tw_then(TW_CMP(x->span.low, y->span.low), TW_CMP(x->shot, y->shot)));
}

static void tell_pair(adopting *a, const use *x, const use *y)
{
    if (x->now == NULL && y->now == NULL)
        return;
    const tw_framing *f = x->now != NULL ? x->now->framing : x->shot->item->framing;
    const tw_framing *g = y->now != NULL ? y->now->framing : y->shot->item->framing;
    if (!tw_recut_windows(f, g, tw_recut_map(x->shot, y->shot), TW_RECUT_SLACK).changed)
        return;
    const use *adopted = x->now != NULL ? x : y, *other = x->now != NULL ? y : x;
    a->out->shared++;
    tw_diag_add(a->diags, 1805, &other->shot->item->place,
                "%.*s shows source frames of %.*s: the window taken from there holds for them too",
                TW_ARG(called(a, other->shot)), TW_ARG(called(a, adopted->shot)));
}

static void tell_earlier(adopting *a, const use *uses, size_t i)
{
    const use *u = &uses[i];
    for (size_t k = i; k > 0 && uses[k - 1].shot->media == u->shot->media; k--) {
        if (uses[k - 1].reach <= u->span.low + 1e-3)
            break;
        if (uses[k - 1].span.high > u->span.low + 1e-3)
            tell_pair(a, &uses[k - 1], u);
    }
}

static void tell_shared(adopting *a)
{
    size_t count = a->back->old_count;
    use *uses = TW_NEW_N(a->arena, use, count);
    for (size_t i = 0; i < count; i++) {
        const tw_shot *shot = &a->back->olds[i];
        uses[i] = (use){.shot = shot, .span = twi_recut_span(shot), .now = a->now[i]};
    }
    TW_SORT(uses, count, by_span);
    for (size_t i = 0; i < count; i++) {
        bool same = i > 0 && uses[i - 1].shot->media == uses[i].shot->media;
        uses[i].reach = same && uses[i - 1].reach > uses[i].span.high ? uses[i - 1].reach : uses[i].span.high;
        tell_earlier(a, uses, i);
    }
}

void tw_recut_adopt(tw_arena *arena, const tw_adopt_job *job, tw_json *root, tw_diags *diags, tw_adopted *out)
{
    *out = (tw_adopted){.windows = NULL};
    adopting a = {.arena = arena, .job = job, .root = root, .diags = diags, .out = out};
    a.notes = tw_json_need(arena, root, "notes", TW_JSON_ARRAY);
    a.c = tw_recut_compare(arena, job->written, job->changed, TW_RECUT_SLACK);
    a.back = tw_recut_align(arena, job->solved, job->written);
    a.now = (const tw_item **)tw_arena_alloc(arena, a.back->old_count, sizeof *a.now);
    for (size_t i = 0; i < a.c->count; i++) {
        const tw_change *change = &a.c->changes[i];
        bool cut = change->kind != TW_CHANGE_KEPT || change->moved || change->transition;
        if (cut)
            tell_cut(&a, change);
        if (change->window.changed && change->kind <= TW_CHANGE_TRIMMED)
            adopt_shot(&a, change);
    }
    tell_shared(&a);
}
