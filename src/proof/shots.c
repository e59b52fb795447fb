/* SPDX-License-Identifier: Apache-2.0
 *
 * The shots of the master and the notes that meet them. Notes are matched by sweeping source time once per name: clips
 * and notes enter in order of their first frame and meet whatever is still running.
 */
#include "proof_internal.h"

#include <math.h>

/* ---- shots ----------------------------------------------------------------------------------------------- */

typedef struct looking {
    tw_arena *arena;
    const tw_plan *plan;
    const tw_timeline *master;
    twi_sight *out;
} looking;

static bool goes_on(const tw_timeline *master, const twi_seen *before, const twi_seen *after)
{
    return before->spot.track == after->spot.track && before->source != NULL && before->source == after->source &&
           tw_item_goes_on(master, before->clip, after->clip);
}

/* Nothing moves in a frozen nest: any number will do. */
static double frames_a_second(const looking *l, const twi_spot *spot)
{
    double step = fabs(spot->step);
    return tw_rate_fps(l->master->rate) * (step > 0 ? tw_clamp(1 / step, 0.01, 100) : 1);
}

static void see_clip(void *context, const twi_spot *spot)
{
    const looking *l = context;
    const tw_item *clip = spot->item;
    if (clip->kind != TW_ITEM_CLIP)
        return;
    twi_sight *sight = l->out;
    twi_seen *shot = &TW_PUSH(l->arena, sight->at, sight->len, sight->cap);
    const tw_names names = tw_item_names(clip);
    *shot = (twi_seen){
        .spot = *spot,
        .clip = clip,
        .source = tw_plan_source(l->plan, names.at, names.count, names.loose),
        .fps = frames_a_second(l, spot),
        .first = spot->first,
        .frames = spot->frames,
    };
    shot->joined = sight->len > 1 && goes_on(l->master, shot - 1, shot);
}

twi_expected twi_proof_expected(const twi_seen *shot, const tw_delivery *delivery)
{
    const tw_source *source = shot->source;
    if (source == NULL)
        return tw_item_is_black(shot->clip) ? TWI_EXPECT_NOTHING : TWI_EXPECT_UNKNOWN;
    if (source->size.w <= 0 || source->size.h <= 0 || shot->endless)
        return TWI_EXPECT_UNKNOWN;
    bool whole = source->kind == TW_SOURCE_GRAPHIC || source->frame == TW_FRAME_FIT || delivery->frame == TW_FRAME_FIT;
    return whole ? TWI_EXPECT_WHOLE : TWI_EXPECT_FILLED;
}

/* ---- names ----------------------------------------------------------------------------------------------- */

/* A shot under one of its names. */
typedef struct clip_row {
    tw_str name; /* lower case */
    bool loose;  /* patterns meet it too */
    size_t shot;
    double low, high; /* first and last source frame shown */
} clip_row;

typedef struct clip_rows {
    clip_row *at;
    size_t len, cap;
} clip_rows;

/* A run of clip rows of one name that patterns meet, or of those that they do not. */
typedef struct group {
    size_t from, to;
} group;

/* A note under a group it names. */
typedef struct note_row {
    size_t group, note;
    double in, out;
} note_row;

typedef struct note_rows {
    note_row *at;
    size_t len, cap;
} note_rows;

typedef struct meeting {
    size_t shot, note;
} meeting;

typedef struct meetings {
    tw_arena *arena;
    meeting *at;
    size_t len, cap;
} meetings;

static void add_clip_rows(tw_arena *arena, const tw_timeline *master, const twi_sight *sight, size_t shot,
                          clip_rows *rows)
{
    const twi_seen *s = &sight->at[shot];
    double a = tw_item_source_frame(master, s->clip, s->first);
    double b = tw_item_source_frame(master, s->clip, s->first + s->frames - 1);
    const tw_names names = tw_item_names(s->clip);
    for (size_t n = 0; n < names.count; n++) {
        TW_PUSH(arena, rows->at, rows->len, rows->cap) = (clip_row){
            .name = tw_arena_lower(arena, names.at[n]),
            .loose = n < names.loose,
            .shot = shot,
            .low = floor(tw_min(a, b) + 1e-6),
            .high = floor(tw_max(a, b) + 1e-6),
        };
    }
}

static int by_name_and_low(const void *a, const void *b)
{
    const clip_row *x = a, *y = b;
    int by_name = tw_then(tw_str_cmp(x->name, y->name), TW_CMP(x->loose, y->loose));
    return tw_then(by_name, tw_then(TW_CMP(x->low, y->low), TW_CMP(x->shot, y->shot)));
}

static group *group_rows(tw_arena *arena, const clip_rows *rows, size_t *count)
{
    group *groups = TW_NEW_N(arena, group, rows->len);
    *count = 0;
    for (size_t i = 0; i < rows->len; i++) {
        const clip_row *r = &rows->at[i];
        if (i == 0 || r[-1].loose != r->loose || !tw_str_eq(r[-1].name, r->name))
            groups[(*count)++] = (group){.from = i};
        groups[*count - 1].to = i + 1;
    }
    return groups;
}

static void add_note_row(tw_arena *arena, const tw_plan *plan, size_t note, size_t g, note_rows *rows)
{
    const tw_note *n = &plan->notes[note];
    TW_PUSH(arena, rows->at, rows->len, rows->cap) = (note_row){
        .group = g,
        .note = note,
        .in = n->has_in ? (double)n->in : -INFINITY,
        .out = n->has_out ? (double)n->out : INFINITY,
    };
}

/* Exact names by binary search; a pattern is tried on every name once. */
static void find_groups(tw_arena *arena, const tw_plan *plan, const clip_rows *clips, const group *groups,
                        size_t group_count, note_rows *out)
{
    for (size_t n = 0; n < plan->note_count; n++) {
        tw_str reel = plan->notes[n].reel;
        if (reel.len == 0)
            continue;
        if (tw_str_has_wildcard(reel)) {
            for (size_t g = 0; g < group_count; g++)
                if (clips->at[groups[g].from].loose && tw_str_glob(reel, clips->at[groups[g].from].name))
                    add_note_row(arena, plan, n, g, out);
            continue;
        }
        tw_str name = tw_arena_lower(arena, reel);
        size_t g;
        TW_SEARCH(g, group_count, tw_str_cmp(clips->at[groups[g].from].name, name) < 0);
        for (; g < group_count && tw_str_eq(clips->at[groups[g].from].name, name); g++)
            add_note_row(arena, plan, n, g, out);
    }
}

static int by_group_and_in(const void *a, const void *b)
{
    const note_row *x = a, *y = b;
    return tw_then(TW_CMP(x->group, y->group), tw_then(TW_CMP(x->in, y->in), TW_CMP(x->note, y->note)));
}

/* ---- the sweep ------------------------------------------------------------------------------------------- */

typedef struct running {
    size_t *clips, *notes; /* indices into the rows, in no order */
    size_t clip_count, note_count;
} running;

static void meet(meetings *m, size_t shot, size_t note)
{
    TW_PUSH(m->arena, m->at, m->len, m->cap) = (meeting){shot, note};
}

static void clip_enters(const clip_row *clip, size_t index, const note_row *notes, running *r, meetings *m)
{
    size_t kept = 0;
    for (size_t i = 0; i < r->note_count; i++) {
        const note_row *note = &notes[r->notes[i]];
        if (note->out <= clip->low)
            continue;
        meet(m, clip->shot, note->note);
        r->notes[kept++] = r->notes[i];
    }
    r->note_count = kept;
    r->clips[r->clip_count++] = index;
}

static void note_enters(const note_row *note, size_t index, const clip_row *clips, running *r, meetings *m)
{
    size_t kept = 0;
    for (size_t i = 0; i < r->clip_count; i++) {
        const clip_row *clip = &clips[r->clips[i]];
        if (clip->high < note->in)
            continue;
        if (note->out > clip->low)
            meet(m, clip->shot, note->note);
        r->clips[kept++] = r->clips[i];
    }
    r->clip_count = kept;
    r->notes[r->note_count++] = index;
}

/* One group: clips [c, c_end) and notes [n, n_end), both by their first frame. */
static void sweep(const clip_row *clips, size_t clip_count, const note_row *notes, size_t note_count, running *r,
                  meetings *m)
{
    r->clip_count = r->note_count = 0;
    size_t c = 0, n = 0;
    while (c < clip_count || n < note_count) {
        if (n == note_count || (c < clip_count && clips[c].low < notes[n].in)) {
            clip_enters(&clips[c], c, notes, r, m);
            c++;
        } else {
            note_enters(&notes[n], n, clips, r, m);
            n++;
        }
    }
}

static int by_shot_and_note(const void *a, const void *b)
{
    const meeting *x = a, *y = b;
    return tw_then(TW_CMP(x->shot, y->shot), TW_CMP(x->note, y->note));
}

static void hand_out(tw_arena *arena, const tw_plan *plan, meetings *m, twi_sight *sight)
{
    TW_SORT(m->at, m->len, by_shot_and_note);
    const tw_note **all = TW_NEW_N(arena, const tw_note *, m->len);
    size_t used = 0;
    for (size_t i = 0; i < m->len; i++) {
        const meeting *x = &m->at[i];
        if (i > 0 && x[-1].shot == x->shot && x[-1].note == x->note)
            continue; /* found under two names */
        twi_seen *shot = &sight->at[x->shot];
        if (shot->notes == NULL)
            shot->notes = all + used;
        all[used++] = &plan->notes[x->note];
        shot->note_count++;
        sight->note_used[x->note] = true;
    }
}

static void match_notes(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, twi_sight *sight)
{
    tw_arena *scratch = tw_arena_like(arena);
    clip_rows clips = {.len = 0};
    for (size_t i = 0; i < sight->len; i++)
        add_clip_rows(scratch, master, sight, i, &clips);
    TW_SORT(clips.at, clips.len, by_name_and_low);
    size_t group_count;
    const group *groups = group_rows(scratch, &clips, &group_count);
    note_rows notes = {.len = 0};
    find_groups(scratch, plan, &clips, groups, group_count, &notes);
    TW_SORT(notes.at, notes.len, by_group_and_in);
    running r = {.clips = TW_NEW_N(scratch, size_t, clips.len), .notes = TW_NEW_N(scratch, size_t, notes.len)};
    meetings m = {.arena = scratch};
    for (size_t i = 0, end; i < notes.len; i = end) {
        const group *g = &groups[notes.at[i].group];
        for (end = i + 1; end < notes.len && notes.at[end].group == notes.at[i].group;)
            end++;
        sweep(clips.at + g->from, g->to - g->from, notes.at + i, end - i, &r, &m);
    }
    hand_out(arena, plan, &m, sight);
    tw_arena_free(&scratch);
}

/* A through-edit, from its first shot on. */
static void bound(twi_seen *first)
{
    int64_t frames = 0, boxes = 0;
    twi_seen *end = first;
    do {
        for (size_t n = 0; n < end->note_count && frames <= TW_SHOT_FRAMES_LIMIT; n++)
            boxes += (end->frames < TW_SHOT_FRAMES_LIMIT ? end->frames : 0) * (int64_t)end->notes[n]->region_count;
        frames = frames > TW_SHOT_FRAMES_LIMIT ? frames : frames + end->frames;
        end++;
    } while (end->joined);
    for (twi_seen *s = first; s < end; s++)
        s->endless = frames > TW_SHOT_FRAMES_LIMIT || boxes > TW_SHOT_BOXES_LIMIT;
}

void twi_proof_look(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, twi_sight *out)
{
    *out = (twi_sight){.note_used = TW_NEW_N(arena, bool, plan->note_count)};
    looking l = {arena, plan, master, out};
    twi_proof_spots(master, see_clip, &l);
    out->at = tw_arena_grow(arena, out->at, out->len, &out->cap, sizeof *out->at);
    out->at[out->len] = (twi_seen){.clip = NULL};
    match_notes(arena, plan, master, out);
    for (size_t i = 0; i < out->len; i++)
        if (!out->at[i].joined)
            bound(&out->at[i]);
}
