/* SPDX-License-Identifier: Apache-2.0
 *
 * Which written clip is which shot.
 */
#include "proof_internal.h"

#include <math.h>

/* A picture clip or a nest by the record frames between which it is seen as cut, and handles included, as far as nests
 * around it let it. */
typedef struct row {
    int64_t seen, begins, ends, last; /* ends and last: one past */
    int64_t zero;                     /* where its first frame would be */
    size_t order;                     /* shot number, or place among the written clips or the nests */
    const tw_item *clip;
    size_t nest; /* it is in; SIZE_MAX: in none */
    bool between, taken;
    bool whole; /* a written clip that may stand for a nest; a nest for which one may, or which is in one of these */
    bool loose; /* a nest of which something is not sought; a written clip that may be that */
} row;

typedef struct rows {
    row *at;
    size_t len, cap;
} rows;

static int by_seen(const void *a, const void *b)
{
    const row *x = a, *y = b;
    return tw_then(TW_CMP(x->seen, y->seen), TW_CMP(x->order, y->order));
}

static row row_of(const twi_spot *s, size_t order)
{
    return (row){.seen = s->seen,
                 .begins = s->begins,
                 .ends = s->ends,
                 .last = s->last,
                 .zero = s->place,
                 .order = order,
                 .clip = s->item,
                 .nest = s->nest,
                 .between = s->between};
}

/* The shots of picture track `video`, or of all when it is SIZE_MAX: those inside nests or the others. Nests at a speed
 * of their own are not carried by every format, and what is in them stands elsewhere then; so does what lies between
 * two frames, which each format rounds in its way. */
static rows shot_rows(tw_arena *arena, const twi_sight *sight, size_t video, bool nested)
{
    rows out = {.at = TW_NEW_N(arena, row, sight->len)};
    for (size_t i = 0; i < sight->len; i++) {
        const twi_spot *s = &sight->at[i].spot;
        if ((s->nest != SIZE_MAX) != nested || (video != SIZE_MAX && s->video != video))
            continue;
        if (!nested || !(s->retimed || s->between))
            out.at[out.len++] = row_of(s, i);
    }
    TW_SORT(out.at, out.len, by_seen);
    return out;
}

typedef struct gathering {
    tw_arena *arena;
    rows out;
} gathering;

static void gather(gathering *g, const twi_spot *spot)
{
    const row r = row_of(spot, g->out.len);
    TW_PUSH(g->arena, g->out.at, g->out.len, g->out.cap) = r;
}

static void gather_clip(void *context, const twi_spot *spot)
{
    if (spot->item->kind == TW_ITEM_CLIP)
        gather(context, spot);
}

static void gather_nest(void *context, const twi_spot *spot)
{
    if (spot->item->kind == TW_ITEM_NEST)
        gather(context, spot);
}

static rows rows_of(tw_arena *arena, const tw_timeline *t, twi_spot_fn *fn)
{
    gathering g = {.arena = arena};
    twi_proof_spots(t, fn, &g);
    return g.out;
}

/* The record frame at which the first picture is seen, whatever shows it. */
static int64_t first_seen(const tw_timeline *t)
{
    int64_t least = INT64_MAX;
    for (size_t i = 0; i < t->track_count; i++) {
        for (size_t k = 0; t->tracks[i].kind == TW_TRACK_VIDEO && k < t->tracks[i].item_count; k++) {
            const tw_item *item = &t->tracks[i].items[k];
            int64_t in = tw_item_record_in(t, item) - tw_item_head(t, item);
            least = in < least ? in : least;
        }
    }
    return least;
}

/* A list's clock starts again at midnight: what seems to begin days before or after the programme does so within the
 * day that begins with it. */
static void unwrap(const tw_timeline *t, rows *written)
{
    int64_t day = tw_tc_day(t->rate, t->drop), least = first_seen(t);
    for (size_t i = 0; i < written->len; i++) {
        row *w = &written->at[i];
        int64_t after = (w->seen - least) % day, late = w->seen - least - (after < 0 ? after + day : after);
        w->seen -= late;
        w->begins -= late;
        w->ends -= late;
        w->last -= late;
        w->zero -= late;
    }
}

typedef struct pairing {
    tw_arena *scratch;
    const tw_proof_input *in;
    const twi_sight *sight;
    const tw_proof_file *file;
    tw_diags *diags;
    twi_twin *out;
    bool made; /* what the file's format makes of the master, not the file itself: its lines are no places */
} pairing;

static tw_place place_of(const pairing *p, const tw_item *written)
{
    return p->made ? (tw_place){.file = p->file->name} : twi_proof_place(p->file, written);
}

/* A format that cannot say that a clip is switched off leaves it out, and its writer has said so. */
static bool is_on(const pairing *p, const row *shot)
{
    return p->sight->at[shot->order].spot.on;
}

static void say_lost(const pairing *p, const row *shot)
{
    if (!is_on(p, shot))
        return;
    tw_diag_add(p->diags, 1703, TW_IN(p->file->name),
                "the picture of %.*s is missing: no clip is seen from record frame %lld on",
                TW_ARG(twi_proof_name(p->scratch, shot->clip)), (long long)shot->seen);
}

static void say_extra(const pairing *p, const row *written)
{
    if (tw_item_is_black(written->clip) || written->whole || written->loose || written->nest != SIZE_MAX)
        return; /* black: what a fade comes from or goes to; nests are compared as wholes */
    const tw_place place = place_of(p, written->clip);
    tw_diag_add(p->diags, 1703, &place, "%.*s is no shot of the master",
                TW_ARG(twi_proof_name(p->scratch, written->clip)));
}

#define FASTEST 120 /* frames a second, SMPTE ST 12-3: what counts more numbers samples or ticks */

/* How far apart both are where the written clip is first seen, in frames of the slower count: a file that cannot count
 * as the source does has the nearest of its own. Where the master's time lies outside the day a list's clock can only
 * tell the same time of day. */
static double apart(const pairing *p, const row *shot, const row *written)
{
    const tw_timeline *t = p->file->written, *m = p->in->master;
    tw_rate rate = tw_item_source_rate(t, written->clip), master = tw_item_source_rate(m, shot->clip);
    double fps = tw_rate_fps(rate), own = tw_rate_fps(master);
    double day = (double)tw_tc_day(rate, written->clip->source_drop) / fps;
    double a = tw_item_source_frame(m, shot->clip, written->seen - shot->zero) / own;
    double b = tw_item_source_frame(t, written->clip, written->seen - written->zero) / fps;
    double off = a < 0 || a >= day ? b - a - day * floor((b - a) / day + 0.5) : b - a;
    double slower = own < fps ? own : fps;
    return off * (slower < FASTEST ? slower : FASTEST);
}

/* Source frames must be the same, and run as fast, give or take what one decimal of a speed in frames per second
 * makes. */
static void check_source(const pairing *p, const row *shot, const row *written)
{
    const tw_place place = place_of(p, written->clip);
    tw_str name = twi_proof_name(p->scratch, written->clip);
    if (written->last < shot->ends - shot->between || written->last > shot->last + shot->between) {
        tw_diag_add(p->diags, 1704, &place, "%.*s is seen up to record frame %lld, in the master up to %lld",
                    TW_ARG(name), (long long)written->last, (long long)shot->last);
        return;
    }
    if (tw_item_is_black(shot->clip))
        return;
    double off = apart(p, shot, written), length = (double)(shot->last - shot->seen);
    double slow = fabs(shot->clip->speed - written->clip->speed) * length;
    if (fabs(off) > 1 + 1e-6)
        tw_diag_add(p->diags, 1705, &place, "%.*s starts %lld source frames %s than in the master", TW_ARG(name),
                    (long long)(fabs(off) + 0.5), off > 0 ? "later" : "earlier");
    else if (slow > 1 + length * 0.05 / tw_rate_fps(p->in->master->rate))
        tw_diag_add(p->diags, 1706, &place, "%.*s runs at another speed than in the master", TW_ARG(name));
}

static bool is_named(const row *shot, const row *written)
{
    tw_str name = tw_item_source_name(shot->clip);
    return name.len > 0 && tw_str_ieq(name, tw_item_source_name(written->clip));
}

static bool is_in_step(const pairing *p, const row *shot, const row *written)
{
    return fabs(apart(p, shot, written)) < 0.5;
}

typedef struct asking {
    tw_str name;
    bool found;
} asking;

/* A list keeps the first eight bytes of a name, and has '_' for what it cannot carry. */
static bool reads_as(tw_str name, tw_str written)
{
    bool same = written.len > 0 && written.len <= name.len;
    for (size_t i = 0; same && i < written.len; i++)
        same = written.at[i] == '_' || tw_str_ieq((tw_str){name.at + i, 1}, (tw_str){written.at + i, 1});
    return same;
}

static bool is_called(const tw_item *nest, tw_str written)
{
    return nest->name.len > 0 ? reads_as(nest->name, written) : tw_str_ieq(written, TW_STR("AX"));
}

static bool is_nest_called(void *context, const tw_track *track, const tw_item *item)
{
    asking *a = context;
    (void)track;
    a->found = a->found || (item->kind == TW_ITEM_NEST && is_called(item, a->name));
    return !a->found;
}

/* Is it the clip in a nest, and not one clip that stands for a whole nest, with the nest's name and clock? The two may
 * share both: then the nest is the one that was not framed. */
static bool is_from_nest(const pairing *p, const row *shot, const row *written)
{
    asking a = {.name = tw_item_source_name(written->clip)};
    if (a.name.len > 0)
        tw_timeline_walk(p->in->master, is_nest_called, &a);
    bool named = is_named(shot, written), in_step = is_in_step(p, shot, written);
    return a.found ? named && in_step && written->clip->framing != NULL : named || in_step;
}

/* Is it the clip in a nest, and not one beside the nest, for which one clip may stand? */
static bool is_in_nest(const pairing *p, const row *shot, const row *written, bool whole)
{
    bool named = is_named(shot, written), in_step = is_in_step(p, shot, written);
    return whole ? named && in_step : named || in_step;
}

/* How likely the written clip is the shot: where tracks overlap several begin at once. */
static int likeness(const pairing *p, const row *shot, const row *written)
{
    bool named = is_named(shot, written);
    bool fast = fabs(shot->clip->speed - written->clip->speed) < 0.01,
         ends = shot->ends <= written->last && written->last <= shot->last;
    return named + fast + ends + 4 * is_in_step(p, shot, written);
}

/* The written clips that are first seen no earlier than the shot or nest and no later than it begins: from the returned
 * one to *end. */
static size_t first_near(const row *shot, const rows *written, size_t *end)
{
    size_t first;
    TW_SEARCH(first, written->len, written->at[first].seen < shot->seen - shot->between);
    int64_t latest = shot->begins < shot->last ? shot->begins : shot->last - 1;
    TW_SEARCH(*end, written->len, written->at[*end].seen <= latest + shot->between);
    return first;
}

/* In a nest, and seen in a mix alone, which a format may not carry there: none but itself will do then. */
static bool is_glimpse(const row *shot)
{
    return shot->nest != SIZE_MAX && shot->begins >= shot->ends;
}

/* May it be the shot? Black stands in for what is switched off, or for what a nest shows none of. What a format need
 * not carry there is itself or nothing. */
static bool may_be(const pairing *p, const row *shot, const row *w)
{
    bool nested = shot->nest != SIZE_MAX, on = is_on(p, shot);
    if (w->taken || (!nested && w->nest != SIZE_MAX))
        return false;
    if (tw_item_is_black(w->clip) && !tw_item_is_black(shot->clip) && (nested || !on))
        return false;
    return (on && !is_glimpse(shot)) || (is_named(shot, w) && is_in_step(p, shot, w));
}

static row *find_twin(const pairing *p, const row *shot, const rows *written)
{
    size_t end;
    row *best = NULL;
    int most = -1;
    for (size_t i = first_near(shot, written, &end); i < end; i++) {
        row *w = &written->at[i];
        int like = may_be(p, shot, w) ? likeness(p, shot, w) : -1;
        if (like > most) {
            best = w;
            most = like;
        }
    }
    return best;
}

static void pair(const pairing *p, const row *shot, row *written)
{
    written->taken = true;
    p->out[shot->order] = (twi_twin){written->clip, written->zero - shot->zero};
    check_source(p, shot, written);
}

/* On the track itself the clips at the ends of a nest are in the mixes beside it with frames that the nest has not. */
static row widened(const row *shot, const rows *nests)
{
    row r = *shot;
    for (size_t n = r.nest; n != SIZE_MAX; n = nests->at[n].nest) {
        const row *nest = &nests->at[n];
        if (r.begins == nest->begins && nest->seen < r.seen)
            r.seen = nest->seen;
        if (r.ends == nest->ends && nest->last > r.last)
            r.last = nest->last;
    }
    return r;
}

/* Does it stand for the nest, all of it or, by its name, a part? */
static bool is_for_nest(const row *nest, const row *written)
{
    bool spans = written->seen <= nest->begins && nest->ends <= written->last;
    return written->nest == SIZE_MAX && written->last <= nest->last &&
           (spans || is_called(nest->clip, tw_item_source_name(written->clip)));
}

/* A format without nests has their clips on the track itself, cut to what is shown, or one clip for the whole nest. */
static void find_whole_nests(const rows *nests, const rows *written)
{
    for (size_t n = 0; n < nests->len; n++) {
        const row nest = widened(&nests->at[n], nests);
        int64_t covered = nest.begins;
        size_t i;
        TW_SEARCH(i, written->len, written->at[i].seen < nest.seen - nest.loose);
        for (; i < written->len && written->at[i].seen < nest.last + nest.loose; i++) {
            row *w = &written->at[i];
            w->loose = w->loose || nest.loose;
            if (!is_for_nest(&nest, w))
                continue;
            w->whole = true;
            covered = w->seen <= covered && w->last > covered ? w->last : covered;
        }
        nests->at[n].whole = covered >= nest.ends || (nest.nest != SIZE_MAX && nests->at[nest.nest].whole);
    }
}

/* Nests around shots that are not sought, because of where they stand. */
static void find_loose_nests(const twi_sight *sight, const rows *nests)
{
    for (size_t i = 0; i < sight->len; i++) {
        const twi_spot *s = &sight->at[i].spot;
        for (size_t n = s->retimed || s->between ? s->nest : SIZE_MAX; n != SIZE_MAX; n = nests->at[n].nest)
            nests->at[n].loose = true;
    }
}

static void pair_shot(const pairing *p, const row *shot, const rows *written)
{
    row *twin = find_twin(p, shot, written);
    if (twin != NULL)
        pair(p, shot, twin);
    else
        say_lost(p, shot);
}

static void pair_nested(const pairing *p, const row *shot, const rows *nests, const rows *written)
{
    row *twin = find_twin(p, shot, written);
    bool whole = nests->at[shot->nest].whole;
    if (twin != NULL && (twin->whole ? is_from_nest(p, shot, twin) : is_in_nest(p, shot, twin, whole)))
        pair(p, shot, twin);
    else if (!whole && !is_glimpse(shot))
        say_lost(p, shot);
}

/* What is switched off a file may not hold: it takes no clip that another shot has. */
static void pair_rows(const pairing *p, const rows *shots, const rows *nested, const rows *nests, const rows *written)
{
    for (int off = 0; off < 2; off++) {
        for (size_t s = 0; s < shots->len; s++)
            if (is_on(p, &shots->at[s]) != off)
                pair_shot(p, &shots->at[s], written);
        for (size_t n = 0; n < nested->len; n++) {
            const row shot = widened(&nested->at[n], nests);
            if (is_on(p, &shot) != off)
                pair_nested(p, &shot, nests, written);
        }
    }
    for (size_t w = 0; w < written->len; w++)
        if (!written->at[w].taken)
            say_extra(p, &written->at[w]);
}

static bool shows_same(const tw_item *a, const tw_item *b)
{
    return tw_str_eq(a->name, b->name) && tw_str_eq(a->reel, b->reel) && tw_time_eq(a->source.start, b->source.start) &&
           tw_time_eq(a->source.dur, b->source.dur);
}

#define FAR 500 /* pictures a clip is looked for on either side of where the one before was */

typedef struct pictures {
    const tw_item **at;
    size_t len;
} pictures;

static bool add_picture(void *context, const tw_track *track, const tw_item *item)
{
    pictures *p = context;
    if (track->kind == TW_TRACK_VIDEO && item->kind == TW_ITEM_CLIP)
        p->at[p->len++] = item;
    return true;
}

static pictures pictures_of(tw_arena *arena, const tw_timeline *t)
{
    pictures p = {TW_NEW_N(arena, const tw_item *, t->clip_count), 0};
    tw_timeline_walk(t, add_picture, &p);
    return p;
}

/* The nearest that is not taken and shows the same; its number, or SIZE_MAX. */
static size_t nearest(const pictures *got, const bool *taken, const tw_item *want, size_t near)
{
    for (size_t far = 0; far < FAR; far++) {
        if (near + far < got->len && !taken[near + far] && shows_same(want, got->at[near + far]))
            return near + far;
        if (far <= near && near - far < got->len && !taken[near - far] && shows_same(want, got->at[near - far]))
            return near - far;
    }
    return SIZE_MAX;
}

/* Clips of `want` by index in `got`, read from the same format: first what is alike from both ends, then what was moved
 * between. Where none is gone or added, those left over on both sides go together in their order. */
static const tw_item **found_again(tw_arena *arena, const tw_timeline *want, const tw_timeline *got)
{
    const tw_item **out = TW_NEW_N(arena, const tw_item *, want->clip_count);
    const pictures w = pictures_of(arena, want), g = pictures_of(arena, got);
    bool *taken = TW_NEW_N(arena, bool, g.len);
    size_t least = w.len < g.len ? w.len : g.len, head = 0, tail = 0, near;
    for (; head < least && shows_same(w.at[head], g.at[head]); head++) {
        out[w.at[head]->index] = g.at[head];
        taken[head] = true;
    }
    for (; tail < least - head && shows_same(w.at[w.len - 1 - tail], g.at[g.len - 1 - tail]); tail++) {
        out[w.at[w.len - 1 - tail]->index] = g.at[g.len - 1 - tail];
        taken[g.len - 1 - tail] = true;
    }
    near = head;
    for (size_t i = head; i < w.len - tail; i++, near++) {
        size_t at = nearest(&g, taken, w.at[i], near);
        if (at != SIZE_MAX) {
            near = at;
            taken[at] = true;
            out[w.at[i]->index] = g.at[at];
        }
    }
    for (size_t i = head, left = head; w.len == g.len && i < w.len - tail; i++) {
        if (out[w.at[i]->index] != NULL)
            continue;
        while (taken[left])
            left++;
        out[w.at[i]->index] = g.at[left++];
    }
    return out;
}

static void seek(const pairing *p)
{
    size_t video = p->file->written->format->parts(p->in->master) > 1 ? p->file->part : SIZE_MAX;
    const rows shots = shot_rows(p->scratch, p->sight, video, false);
    const rows nested = shot_rows(p->scratch, p->sight, video, true);
    const rows nests = rows_of(p->scratch, p->in->master, gather_nest);
    rows written = rows_of(p->scratch, p->file->written, gather_clip);
    unwrap(p->in->master, &written);
    TW_SORT(written.at, written.len, by_seen);
    find_loose_nests(p->sight, &nests);
    find_whole_nests(&nests, &written);
    pair_rows(p, &shots, &nested, &nests, &written);
}

twi_twin *twi_proof_twins(tw_arena *arena, const tw_proof_input *in, const twi_sight *sight, const tw_proof_file *file,
                          bool damaged, tw_diags *diags)
{
    tw_arena *scratch = tw_arena_like(arena);
    bool own = file->written->format == in->master->format;
    const tw_timeline *made = own ? in->master : damaged ? twi_proof_as_format(scratch, in, file) : NULL;
    const tw_proof_file as_made = {.name = file->name, .part = file->part, .written = made};
    pairing p = {scratch,     in, sight, made != NULL ? &as_made : file, diags, TW_NEW_N(arena, twi_twin, sight->len),
                 made != NULL};
    if (own)
        for (size_t i = 0; i < sight->len; i++)
            p.out[i].clip = sight->at[i].clip;
    else
        seek(&p);
    if (made != NULL) {
        const tw_item **there = found_again(scratch, made, file->written);
        for (size_t i = 0; i < sight->len; i++)
            p.out[i].clip = p.out[i].clip != NULL ? there[p.out[i].clip->index] : NULL;
    }
    tw_arena_free(&scratch);
    return p.out;
}
