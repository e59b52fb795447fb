/* SPDX-License-Identifier: Apache-2.0
 *
 * Which written clip is which shot.
 */
#include "proof_internal.h"

#include <math.h>
#include <stdlib.h>

/* A picture clip by the record frame at which it is first seen, handles included. */
typedef struct row {
    int64_t seen, last;
    size_t order; /* shot number, or place among the written clips */
    const tw_item *clip;
} row;

typedef struct rows {
    row *at;
    size_t len;
} rows;

static int by_seen(const void *a, const void *b)
{
    const row *x = a, *y = b;
    if (x->seen != y->seen)
        return x->seen < y->seen ? -1 : 1;
    return (x->order > y->order) - (x->order < y->order);
}

static rows shot_rows(tw_arena *arena, const twi_sight *sight, size_t video)
{
    rows out = {.at = TW_NEW_N(arena, row, sight->len)};
    for (size_t i = 0; i < sight->len; i++) {
        const twi_seen *s = &sight->at[i];
        if (s->video == video)
            out.at[out.len++] = (row){s->place + s->first, s->place + s->first + s->frames, i, s->clip};
    }
    if (out.len > 1)
        qsort(out.at, out.len, sizeof *out.at, by_seen);
    return out;
}

static void add_written(const tw_timeline *t, const tw_track *track, rows *out)
{
    for (size_t i = 0; i < track->item_count; i++) {
        const tw_item *clip = &track->items[i];
        if (clip->kind != TW_ITEM_CLIP || tw_item_frames(t, clip) <= 0)
            continue;
        out->at[out->len] = (row){tw_item_record_in(t, clip) - tw_item_head(t, clip),
                                  tw_item_record_out(t, clip) + tw_item_tail(t, clip), out->len, clip};
        out->len++;
    }
}

/* The picture track that stands for the master's `video`: the only one of a part, else the one of that number. */
static rows written_rows(tw_arena *arena, const tw_proof_file *file, size_t video, bool part)
{
    const tw_timeline *t = file->written;
    rows out = {.len = 0};
    size_t most = 0, number = 0;
    for (size_t i = 0; i < t->track_count; i++)
        most += t->tracks[i].item_count;
    out.at = TW_NEW_N(arena, row, most);
    for (size_t i = 0; i < t->track_count; i++) {
        if (t->tracks[i].kind != TW_TRACK_VIDEO)
            continue;
        if (part || number == video)
            add_written(t, &t->tracks[i], &out);
        number++;
    }
    if (out.len > 1)
        qsort(out.at, out.len, sizeof *out.at, by_seen);
    return out;
}

typedef struct pairing {
    tw_arena *scratch;
    const tw_proof_input *in;
    const twi_sight *sight;
    const tw_proof_file *file;
    tw_diags *diags;
    twi_twin *out;
    rows lost, extra; /* without a twin on their own track: a format may have put what overlaps on tracks of its own */
} pairing;

static void say_lost(const pairing *p, const row *shot)
{
    const tw_place place = {.file = p->file->name};
    tw_diag_add(p->diags, 1703, &place, "the picture of %.*s is missing: no clip is seen from record frame %lld on",
                TW_ARG(twi_proof_name(p->scratch, shot->clip)), (long long)shot->seen);
}

static void say_extra(const pairing *p, const row *written)
{
    if (tw_item_is_black(written->clip))
        return; /* what a fade comes from or goes to */
    const tw_place place = twi_proof_place(p->file, written->clip);
    tw_diag_add(p->diags, 1703, &place, "%.*s is no shot of the master",
                TW_ARG(twi_proof_name(p->scratch, written->clip)));
}

/* Source frames must be the same at the first visible frame and the last, give or take what one decimal of a speed in
 * frames per second makes over the length. */
static void check_source(const pairing *p, const row *shot, const row *written)
{
    const tw_timeline *m = p->in->master, *t = p->file->written;
    const tw_place place = twi_proof_place(p->file, written->clip);
    tw_str name = twi_proof_name(p->scratch, written->clip);
    if (written->last != shot->last) {
        tw_diag_add(p->diags, 1704, &place, "%.*s is seen up to record frame %lld, in the master up to %lld",
                    TW_ARG(name), (long long)written->last, (long long)shot->last);
        return;
    }
    if (tw_item_is_black(shot->clip))
        return;
    int64_t to_master = shot->seen - p->sight->at[shot->order].place;
    int64_t to_written = shot->seen - tw_item_record_in(t, written->clip);
    double a = tw_item_source_frame(m, shot->clip, to_master);
    double b = tw_item_source_frame(t, written->clip, to_written);
    double length = (double)(shot->last - shot->seen);
    if (fabs(a - b) > 1 + 1e-6)
        tw_diag_add(p->diags, 1705, &place, "%.*s starts at source frame %lld, in the master at %lld", TW_ARG(name),
                    (long long)floor(b + 1e-6), (long long)floor(a + 1e-6));
    else if (fabs(shot->clip->speed - written->clip->speed) * length > 1 + length * 0.05 / tw_rate_fps(m->rate))
        tw_diag_add(p->diags, 1706, &place, "%.*s runs at another speed than in the master", TW_ARG(name));
}

static void pair(const pairing *p, const row *shot, const row *written)
{
    int64_t zero = tw_item_record_in(p->file->written, written->clip);
    p->out[shot->order] = (twi_twin){written->clip, zero - p->sight->at[shot->order].place};
    check_source(p, shot, written);
}

static void keep_row(rows *out, const row *one)
{
    out->at[out->len++] = *one;
}

/* Rows in order of what is seen first; what has no twin is kept for later. */
static void pair_rows(pairing *p, const rows *shots, const rows *written)
{
    size_t s = 0, w = 0;
    while (s < shots->len || w < written->len) {
        if (w == written->len || (s < shots->len && shots->at[s].seen < written->at[w].seen))
            keep_row(&p->lost, &shots->at[s++]);
        else if (s == shots->len || written->at[w].seen < shots->at[s].seen)
            keep_row(&p->extra, &written->at[w++]);
        else
            pair(p, &shots->at[s++], &written->at[w++]);
    }
}

static size_t video_tracks(const tw_timeline *timeline)
{
    size_t count = 0;
    for (size_t i = 0; i < timeline->track_count; i++)
        count += timeline->tracks[i].kind == TW_TRACK_VIDEO;
    return count;
}

static void sort_rows(rows *all)
{
    if (all->len > 1)
        qsort(all->at, all->len, sizeof *all->at, by_seen);
}

/* A format without nests has their clips on the track itself, cut to what is shown, or one clip for the whole nest. */
static bool stands_for_nest(const pairing *p, const row *written)
{
    const tw_timeline *m = p->in->master;
    for (size_t t = 0; t < m->track_count; t++) {
        for (size_t i = 0; i < m->tracks[t].item_count; i++) {
            const tw_item *nest = &m->tracks[t].items[i];
            if (nest->kind == TW_ITEM_NEST && tw_item_record_in(m, nest) <= written->seen &&
                written->last <= tw_item_record_out(m, nest))
                return true;
        }
    }
    return false;
}

static void pair_nested(pairing *p)
{
    rows nested = shot_rows(p->scratch, p->sight, SIZE_MAX);
    size_t n = 0;
    for (size_t i = 0; i < p->extra.len; i++) {
        const row *written = &p->extra.at[i];
        while (n < nested.len && nested.at[n].seen < written->seen)
            n++;
        if (n < nested.len && nested.at[n].seen == written->seen && nested.at[n].last == written->last)
            pair(p, &nested.at[n++], written);
        else if (!stands_for_nest(p, written))
            say_extra(p, written);
    }
}

static void by_place(pairing *p, bool parts)
{
    size_t tracks = video_tracks(p->in->master);
    p->lost.at = TW_NEW_N(p->scratch, row, p->sight->len);
    p->extra.at = TW_NEW_N(p->scratch, row, p->file->written->clip_count);
    for (size_t v = parts ? p->file->part : 0; v < (parts ? p->file->part + 1 : tracks); v++) {
        const rows shots = shot_rows(p->scratch, p->sight, v), written = written_rows(p->scratch, p->file, v, parts);
        pair_rows(p, &shots, &written);
    }
    for (size_t v = tracks; !parts && v < video_tracks(p->file->written); v++) {
        const rows more = written_rows(p->scratch, p->file, v, false);
        for (size_t i = 0; i < more.len; i++)
            keep_row(&p->extra, &more.at[i]);
    }
    rows lost = p->lost, extra = p->extra;
    sort_rows(&lost);
    sort_rows(&extra);
    p->lost = (rows){.at = TW_NEW_N(p->scratch, row, lost.len)};
    p->extra = (rows){.at = TW_NEW_N(p->scratch, row, extra.len)};
    pair_rows(p, &lost, &extra);
    for (size_t i = 0; i < p->lost.len; i++)
        if (p->lost.at[i].clip->enabled) /* a format that cannot say "switched off" leaves it out and says so */
            say_lost(p, &p->lost.at[i]);
    pair_nested(p);
}

static void by_number(const pairing *p)
{
    tw_item **clips = tw_timeline_clips(p->scratch, p->file->written, NULL);
    for (size_t i = 0; i < p->sight->len; i++)
        p->out[i].clip = clips[p->sight->at[i].clip->index];
}

twi_twin *twi_proof_twins(tw_arena *arena, const tw_proof_input *in, const twi_sight *sight, const tw_proof_file *file,
                          tw_diags *diags)
{
    const tw_format *format = file->written->format;
    tw_arena *scratch = tw_arena_like(arena);
    pairing p = {scratch, in, sight, file, diags, TW_NEW_N(arena, twi_twin, sight->len), {.len = 0}, {.len = 0}};
    bool own = format == in->master->format;
    if (own && file->written->clip_count == in->master->clip_count) {
        by_number(&p);
    } else {
        if (own) /* twi_proof_cut tells what is missing */
            p.diags = tw_diags_new(scratch);
        by_place(&p, format->parts(in->master) > 1);
    }
    tw_arena_free(&scratch);
    return p.out;
}
