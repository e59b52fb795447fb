/* SPDX-License-Identifier: Apache-2.0 */
#include "derive_internal.h"

#include <math.h>

/* A note by its reel, lower case. Rows are sorted by reel, then in; `reach` is the largest out so far in the reel, so
 * that a search backwards can stop early however many notes a reel has. */
typedef struct row {
    tw_str reel;
    const tw_note *note;
    int64_t in, out, reach;
} row;

struct twi_note_index {
    const tw_plan *plan;
    row *exact;
    size_t exact_count;
    const tw_note **patterns;
    size_t pattern_count;
};

static int by_reel_and_in(const void *a, const void *b)
{
    const row *x = a, *y = b;
    return tw_then(tw_str_cmp(x->reel, y->reel),
                   tw_then(TW_CMP(x->in, y->in), TW_CMP(x->note, y->note))); /* plan order: the notes are one array */
}

twi_note_index *twi_derive_index(tw_arena *arena, const tw_plan *plan)
{
    twi_note_index *index = TW_NEW(arena, twi_note_index);
    index->plan = plan;
    index->exact = TW_NEW_N(arena, row, plan->note_count);
    index->patterns = TW_NEW_N(arena, const tw_note *, plan->note_count);
    for (size_t i = 0; i < plan->note_count; i++) {
        const tw_note *note = &plan->notes[i];
        if (note->reel.len == 0)
            continue;
        if (tw_str_has_wildcard(note->reel))
            index->patterns[index->pattern_count++] = note;
        else
            index->exact[index->exact_count++] = (row){
                .reel = tw_arena_lower(arena, note->reel),
                .note = note,
                .in = note->has_in ? note->in : INT64_MIN,
                .out = note->has_out ? note->out : INT64_MAX,
            };
    }
    TW_SORT(index->exact, index->exact_count, by_reel_and_in);
    for (size_t i = 0; i < index->exact_count; i++) {
        row *r = &index->exact[i];
        r->reach = r->out;
        if (i > 0 && tw_str_eq(r[-1].reel, r->reel) && r[-1].reach > r->reach)
            r->reach = r[-1].reach;
    }
    return index;
}

typedef struct found {
    tw_arena *arena;
    const tw_note **at;
    size_t len, cap;
    double low, high; /* source frames shown */
} found;

static void add_note(found *f, const tw_note *note)
{
    if ((note->has_in && f->high < (double)note->in) || (note->has_out && f->low >= (double)note->out))
        return;
    TW_PUSH(f->arena, f->at, f->len, f->cap) = note;
}

static bool comes_by(const row *r, tw_str reel, double high)
{
    int order = tw_str_cmp(r->reel, reel);
    return order < 0 || (order == 0 && (r->in == INT64_MIN || (double)r->in <= high));
}

/* First row of the reel whose in lies past the frames shown (or the first row of a later reel). */
static size_t past(const twi_note_index *index, tw_str reel, double high)
{
    size_t i;
    TW_SEARCH(i, index->exact_count, comes_by(&index->exact[i], reel, high));
    return i;
}

static void add_exact(const twi_note_index *index, tw_str reel, found *f)
{
    for (size_t i = past(index, reel, f->high); i > 0; i--) {
        const row *r = &index->exact[i - 1];
        if (!tw_str_eq(r->reel, reel) || (r->reach != INT64_MAX && (double)r->reach <= f->low))
            return;
        add_note(f, r->note);
    }
}

static int by_address(const void *a, const void *b)
{
    const tw_note *x = *(const tw_note *const *)a, *y = *(const tw_note *const *)b;
    return TW_CMP(x, y);
}

const tw_note **twi_derive_notes(tw_arena *arena, const twi_note_index *index, const tw_timeline *master,
                                 const tw_item *clip, tw_span frames, size_t *count)
{
    double a = tw_item_source_frame(master, clip, frames.first), b = tw_item_source_frame(master, clip, frames.end - 1);
    found f = {.arena = arena, .low = a < b ? a : b, .high = a < b ? b : a};
    const tw_names names = tw_item_names(clip);
    for (size_t n = 0; n < names.count; n++) {
        if (names.at[n].len > 0)
            add_exact(index, tw_arena_lower(arena, names.at[n]), &f);
        for (size_t p = 0; n < names.loose && p < index->pattern_count; p++)
            if (tw_str_glob(index->patterns[p]->reel, names.at[n]))
                add_note(&f, index->patterns[p]);
    }
    TW_SORT(f.at, f.len, by_address);
    size_t kept = 0; /* the same note may have been found by several names */
    for (size_t i = 0; i < f.len; i++)
        if (kept == 0 || f.at[kept - 1] != f.at[i])
            f.at[kept++] = f.at[i];
    *count = kept;
    return f.at;
}

/* ---- shots ----------------------------------------------------------------------------------------------- */

typedef struct gathering {
    tw_arena *arena;
    const tw_plan *plan;
    const tw_timeline *master;
    const twi_note_index *index;
    twi_shots *out;
} gathering;

/* A frozen nest moves nothing: what is in it is framed as if it went on. */
static double pace_of(const tw_nesting *nesting)
{
    double pace = fabs(nesting->speed);
    return pace > 0 ? tw_clamp(pace, 0.01, 100) : 1;
}

static void add_shot(const gathering *g, const tw_track *track, const tw_item *clip, const tw_nesting *nesting)
{
    const tw_stand stand = tw_stand_of(g->master, nesting, clip);
    if (stand.shown.end == stand.shown.first)
        return;
    const tw_names names = tw_item_names(clip);
    twi_shots *shots = g->out;
    twi_shot *shot = &TW_PUSH(g->arena, shots->at, shots->len, shots->cap);
    *shot = (twi_shot){
        .clip = clip,
        .track = track,
        .stand = stand,
        .pace = pace_of(nesting),
        .source = tw_plan_source(g->plan, names.at, names.count, names.loose),
        .first = stand.shown.first,
        .frames = stand.shown.end - stand.shown.first,
        .parts = 1,
    };
    shot->notes = twi_derive_notes(g->arena, g->index, g->master, clip, stand.shown, &shot->note_count);
}

static bool through_edit(const gathering *g, const twi_shot *a, const twi_shot *b)
{
    return a->track == b->track && a->source != NULL && a->source == b->source &&
           tw_item_goes_on(g->master, a->clip, b->clip);
}

static void gather_tracks(const gathering *g, const tw_track *tracks, size_t count, const tw_nesting *nesting)
{
    for (size_t t = 0; t < count; t++) {
        if (tracks[t].kind != TW_TRACK_VIDEO)
            continue;
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (item->kind == TW_ITEM_CLIP)
                add_shot(g, &tracks[t], item, nesting);
            if (item->kind != TW_ITEM_NEST)
                continue;
            const tw_nesting inside = tw_nesting_inside(g->master, nesting, item);
            gather_tracks(g, item->tracks, item->track_count, &inside);
        }
    }
}

static int64_t regions_of(const twi_shot *shot)
{
    int64_t count = 0;
    for (size_t n = 0; n < shot->note_count; n++)
        count += (int64_t)shot->notes[n]->region_count;
    return count;
}

/* All clips of a path, or none: it is solved as one. */
static void mark_endless(twi_shot *head)
{
    int64_t frames = 0, boxes = 0;
    bool endless = false;
    for (size_t p = 0; p < head->parts && !endless; p++) {
        frames += head[p].frames;
        endless = frames > TW_SHOT_FRAMES_LIMIT;
        boxes += endless ? 0 : head[p].frames * regions_of(&head[p]);
        endless = endless || boxes > TW_SHOT_BOXES_LIMIT;
    }
    for (size_t p = 0; p < head->parts; p++)
        head[p].endless = endless;
}

void twi_derive_shots(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, twi_shots *out)
{
    const gathering g = {arena, plan, master, twi_derive_index(arena, plan), out};
    const tw_nesting top = tw_nesting_top();
    gather_tracks(&g, master->tracks, master->track_count, &top);
    size_t head = 0;
    for (size_t i = 1; i < out->len; i++) {
        if (through_edit(&g, &out->at[i - 1], &out->at[i])) {
            out->at[head].parts++;
            out->at[i].parts = 0;
        } else {
            head = i;
        }
    }
    for (size_t i = 0; i < out->len; i += out->at[i].parts)
        mark_endless(&out->at[i]);
}
