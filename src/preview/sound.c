/* SPDX-License-Identifier: Apache-2.0
 *
 * The sound tracks, mixed into one file: every clip at its place to the sample, faded through transitions.
 */
#define _POSIX_C_SOURCE 200809L
#include "preview/preview_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <string.h>
#include <unistd.h>

#define PAIR ((off_t)4) /* bytes */
#define DEPTH 32        /* nests within nests; readers bound them too */

int64_t twi_sound_sample(tw_rate rate, int64_t frame)
{
    return tw_time_round(tw_time_frames(frame, rate), (tw_rate){TW_SOUND_RATE, 1}, NULL);
}

/* One clip's sound on its way into the mix. */
typedef struct pour {
    int fd;
    int64_t at, end;       /* pairs of the mix */
    int64_t rise, fall;    /* pairs at both ends through which it fades; 0 none */
    int64_t begun, length; /* pairs poured, and in all */
    double left, right;    /* gains */
    int fault;
} pour;

static double gain_at(const pour *p, int64_t i)
{
    double gain = 1;
    if (i < p->rise)
        gain = tw_min(gain, ((double)i + 0.5) / (double)p->rise);
    if (p->length - i <= p->fall)
        gain = tw_min(gain, ((double)(p->length - i) - 0.5) / (double)p->fall);
    return gain;
}

static int16_t sum_of(int16_t a, double b)
{
    double v = rint(a + b);
    return (int16_t)(v > 32767 ? 32767 : v < -32768 ? -32768 : v);
}

static bool move_bytes(int fd, void *bytes, size_t len, off_t at, bool out)
{
    for (size_t done = 0; done < len;) {
        ssize_t n = out ? pwrite(fd, (char *)bytes + done, len - done, at + (off_t)done)
                        : pread(fd, (char *)bytes + done, len - done, at + (off_t)done);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return false;
        done += (size_t)n;
    }
    return true;
}

#define STEP 4096

static bool pour_some(pour *p, const int16_t *pairs, size_t count)
{
    int16_t mixed[2 * STEP];
    if (!move_bytes(p->fd, mixed, count * (size_t)PAIR, (off_t)p->at * PAIR, false))
        return false;
    for (size_t i = 0; i < count; i++) {
        double gain = gain_at(p, p->begun + (int64_t)i);
        mixed[2 * i] = sum_of(mixed[2 * i], pairs[2 * i] * gain * p->left);
        mixed[2 * i + 1] = sum_of(mixed[2 * i + 1], pairs[2 * i + 1] * gain * p->right);
    }
    return move_bytes(p->fd, mixed, count * (size_t)PAIR, (off_t)p->at * PAIR, true);
}

static bool take(void *context, const int16_t *pairs, size_t count)
{
    pour *p = context;
    while (count > 0 && p->at < p->end) {
        size_t n = count < STEP ? count : STEP;
        n = (int64_t)n > p->end - p->at ? (size_t)(p->end - p->at) : n;
        errno = 0;
        if (!pour_some(p, pairs, n)) {
            p->fault = errno != 0 ? errno : EIO;
            return false;
        }
        p->at += (int64_t)n;
        p->begun += (int64_t)n;
        pairs += 2 * n;
        count -= n;
    }
    return p->at < p->end;
}

/* ---- which sound ------------------------------------------------------------------------------------------- */

typedef struct mixing {
    tw_arena *arena;
    const tw_preview_job *job;
    tw_diags *diags;
    int fd;
    int64_t length; /* pairs */
    tw_status status;
    int fault;
} mixing;

static bool has_sound(const tw_track *tracks, size_t count, int depth)
{
    for (size_t t = 0; t < count && depth < DEPTH; t++)
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (tracks[t].kind == TW_TRACK_AUDIO && item->kind == TW_ITEM_CLIP)
                return true;
            if (item->kind == TW_ITEM_NEST && has_sound(item->tracks, item->track_count, depth + 1))
                return true;
        }
    return false;
}

static bool same_sound(const tw_item *a, const tw_item *b)
{
    return b->kind == TW_ITEM_CLIP && b->enabled && tw_time_eq(a->record.start, b->record.start) &&
           tw_time_eq(a->record.dur, b->record.dur) && tw_str_eq(a->reel, b->reel) &&
           tw_time_eq(a->source.start, b->source.start);
}

/* The same sound on several tracks is its channels: how many tracks of the nest or timeline hold it, and which of them
 * this one is. */
static void find_partners(const tw_track *tracks, size_t count, const tw_track *own, const tw_item *clip, int *rank,
                          int *all)
{
    *rank = *all = 0;
    for (size_t t = 0; t < count; t++) {
        bool there = false;
        for (size_t i = 0; i < tracks[t].item_count && !there; i++)
            there = tracks[t].kind == TW_TRACK_AUDIO && tracks[t].enabled && same_sound(clip, &tracks[t].items[i]);
        if (&tracks[t] == own)
            *rank = *all;
        *all += there;
    }
}

/* Channel `rank` of a file, counted over its streams. */
static bool find_channel(const tw_media_info *info, int rank, tw_sound_ask *ask)
{
    for (size_t s = 0; s < info->sound_count; s++) {
        if (rank < info->sounds[s].channels) {
            ask->stream = info->sounds[s].stream;
            ask->channel = rank;
            return true;
        }
        rank -= info->sounds[s].channels;
    }
    return false;
}

static int channels_of(const tw_media_info *info)
{
    int all = 0;
    for (size_t s = 0; s < info->sound_count; s++)
        all += info->sounds[s].channels;
    return all;
}

/* Tracks that carry the two channels of one recording go left and right; one that stands alone is given whole. False:
 * it has nothing of its own to give. */
static bool choose(const tw_media_info *info, int rank, int all, tw_sound_ask *ask, pour *p)
{
    p->left = p->right = 1;
    if (all < 2) {
        ask->stream = info->sounds[0].stream;
        ask->channel = -1;
        return true;
    }
    if (channels_of(info) < 2) {
        ask->stream = info->sounds[0].stream;
        ask->channel = -1;
        return rank == 0;
    }
    p->left = rank % 2 == 0;
    p->right = rank % 2 == 1;
    return find_channel(info, rank, ask);
}

/* ---- where it goes ----------------------------------------------------------------------------------------- */

/* Tracks, of the programme or of a nest in it, and where they lie in the mix. */
typedef struct level {
    const tw_track *tracks;
    size_t count;
    int64_t first;    /* their record frame at... */
    int64_t base;     /* ...this pair of the mix */
    double speed;     /* pairs of theirs a pair of the mix */
    int64_t from, to; /* pairs of the mix where they are heard */
} level;

static int64_t pair_at(const mixing *m, const level *l, int64_t frame)
{
    int64_t own = twi_sound_sample(m->job->edit->rate, frame - l->first);
    return l->base + (l->speed < 1 || l->speed > 1 ? llround((double)own / l->speed) : own);
}

/* Pairs of the mix through which it fades beside a transition. */
static int64_t fade_length(const mixing *m, const level *l, const tw_track *track, size_t index)
{
    const tw_item *item = &track->items[index];
    if (index >= track->item_count || item->kind != TW_ITEM_TRANSITION)
        return 0;
    return pair_at(m, l, tw_item_record_out(m->job->edit, item)) - pair_at(m, l, tw_item_record_in(m->job->edit, item));
}

/* Seconds after the file's start. Backwards a frame is heard from its end on. */
static double file_time(const tw_preview_job *job, const tw_preview_source *source, const tw_item *clip, int64_t frame)
{
    double at = (double)twi_preview_file_frame(job->edit, source, clip, frame) + (clip->speed < 0);
    tw_rate rate = tw_rate_known(source->file->rate) ? source->file->rate : job->edit->rate;
    return at / tw_rate_fps(rate) + source->info->lead;
}

static void tell_silent(const mixing *m, const tw_item *item, const char *why)
{
    tw_diag_add(m->diags, 2114, &item->place, "%.*s: %s: silence stands in for its sound",
                TW_ARG(item->reel.len > 0 ? item->reel : item->name), why);
}

static bool is_heard(const mixing *m, const tw_item *clip, const tw_preview_source *source, double speed)
{
    if (source->info == NULL || source->info->sound_count == 0 || !(fabs(speed) > 0))
        return false; /* told of before, or held still */
    if (fabs(speed) >= TW_SOUND_SPEED_LEAST && fabs(speed) <= TW_SOUND_SPEED_MOST)
        return true;
    tell_silent(m, clip, "its speed is out of bounds");
    return false;
}

static void read_sound(mixing *m, const tw_preview_source *source, const tw_sound_ask *ask, pour *p)
{
    tw_diags *own = tw_diags_new(m->arena);
    m->status = tw_media_sound_read(m->arena, m->job->tools, source->info, ask, own, take, p);
    m->fault = p->fault;
    if (m->status == TW_OK || tw_diags_kept(own) == 0)
        return; /* fine, or asked to stop */
    tw_diag_add(m->diags, 2114, TW_IN(source->info->path), "%.*s: silence stands in for it",
                TW_ARG(tw_diags_get(own, 0)->message));
    m->status = TW_OK;
}

/* From where in the file to where in the mix. */
static void lay_out(const mixing *m, const level *l, const tw_item *clip, tw_sound_ask *ask, pour *p)
{
    const tw_timeline *edit = m->job->edit;
    int64_t head = tw_item_head(edit, clip), tail = tw_item_tail(edit, clip);
    int64_t begins = pair_at(m, l, tw_item_record_in(edit, clip) - head);
    int64_t ends = pair_at(m, l, tw_item_record_out(edit, clip) + tail);
    double start = file_time(m->job, &m->job->sources[clip->index], clip, -head);
    int64_t late = begins < l->from ? l->from - begins : 0;
    if (ask->speed > 0 && start + (double)late / TW_SOUND_RATE * ask->speed < 0) /* the file begins later */
        late = llround(-start / ask->speed * TW_SOUND_RATE);
    ask->start = tw_max(0, start + (double)late / TW_SOUND_RATE * ask->speed);
    p->begun = late;
    p->length = ends - begins;
    p->at = begins + late;
    p->end = ends < l->to ? ends : l->to;
    ask->samples = p->end - p->at;
}

static void pour_clip(mixing *m, const level *l, const tw_track *track, size_t index)
{
    const tw_item *clip = &track->items[index];
    const tw_preview_source *source = &m->job->sources[clip->index];
    int rank, all;
    pour p = {.fd = m->fd};
    tw_sound_ask ask = {.speed = clip->speed * l->speed};
    find_partners(l->tracks, l->count, track, clip, &rank, &all);
    if (!is_heard(m, clip, source, ask.speed) || !choose(source->info, rank, all, &ask, &p))
        return;
    lay_out(m, l, clip, &ask, &p);
    p.rise = index > 0 ? fade_length(m, l, track, index - 1) : 0;
    p.fall = fade_length(m, l, track, index + 1);
    if (ask.samples > 0)
        read_sound(m, source, &ask, &p);
}

/* A nest on a picture track is heard too, unless it stands on a sound track beside it. */
static bool stands_beside(const level *l, const tw_item *nest)
{
    for (size_t t = 0; t < l->count; t++)
        for (size_t i = 0; l->tracks[t].kind == TW_TRACK_AUDIO && i < l->tracks[t].item_count; i++) {
            const tw_item *other = &l->tracks[t].items[i];
            if (other->kind == TW_ITEM_NEST && tw_time_eq(other->record.start, nest->record.start) &&
                tw_time_eq(other->record.dur, nest->record.dur) && tw_str_eq(other->name, nest->name))
                return true;
        }
    return false;
}

static void pour_tracks(mixing *m, const level *l, int depth);

static void pour_nest(mixing *m, const level *l, const tw_track *track, const tw_item *nest, int depth)
{
    if (track->kind == TW_TRACK_VIDEO && stands_beside(l, nest))
        return;
    if (!(nest->speed > 0)) {
        if (nest->speed < 0 && has_sound(nest->tracks, nest->track_count, depth))
            tell_silent(m, nest, "it is nested and runs backwards");
        return;
    }
    int64_t in = pair_at(m, l, tw_item_record_in(m->job->edit, nest)),
            out = pair_at(m, l, tw_item_record_out(m->job->edit, nest));
    const level inner = {.tracks = nest->tracks,
                         .count = nest->track_count,
                         .base = in,
                         .speed = l->speed * nest->speed,
                         .from = in > l->from ? in : l->from,
                         .to = out < l->to ? out : l->to};
    pour_tracks(m, &inner, depth + 1);
}

static void pour_tracks(mixing *m, const level *l, int depth)
{
    for (size_t t = 0; t < l->count && depth < DEPTH; t++) {
        const tw_track *track = &l->tracks[t];
        for (size_t i = 0; i < track->item_count && m->status == TW_OK && m->fault == 0; i++) {
            const tw_item *item = &track->items[i];
            if (!track->enabled || !item->enabled)
                continue;
            if (track->kind == TW_TRACK_AUDIO && item->kind == TW_ITEM_CLIP)
                pour_clip(m, l, track, i);
            else if (track->kind != TW_TRACK_OTHER && item->kind == TW_ITEM_NEST)
                pour_nest(m, l, track, item, depth);
        }
    }
}

tw_status twi_sound_mix(tw_arena *arena, const tw_preview_job *job, const char *path, tw_diags *diags, bool *any)
{
    mixing m = {.arena = arena, .job = job, .diags = diags};
    *any = has_sound(job->edit->tracks, job->edit->track_count, 0);
    if (!*any)
        return TW_OK;
    m.length = twi_sound_sample(job->edit->rate, tw_preview_length(job->edit));
    m.fd = open(path, O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    if (m.fd < 0 || ftruncate(m.fd, (off_t)m.length * PAIR) != 0)
        m.fault = errno;
    const level all = {.tracks = job->edit->tracks,
                       .count = job->edit->track_count,
                       .first = tw_time_round(job->edit->start, job->edit->rate, NULL),
                       .speed = 1,
                       .to = m.length};
    if (m.fault == 0)
        pour_tracks(&m, &all, 0);
    if (m.fd >= 0 && close(m.fd) != 0 && m.fault == 0)
        m.fault = errno;
    if (m.fault == 0)
        return m.status;
    tw_diag_add(diags, 2112, TW_IN(tw_str_z(path)), "the sound cannot be written: %s", strerror(m.fault));
    return TW_ERR_IO;
}
