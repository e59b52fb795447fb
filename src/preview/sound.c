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
    const volatile sig_atomic_t *stop;
    int fault;
} pour;

static double gain_at(const pour *p, int64_t i)
{
    double gain = 1;
    if (i < p->rise)
        gain = fmin(gain, ((double)i + 0.5) / (double)p->rise);
    if (p->length - i <= p->fall)
        gain = fmin(gain, ((double)(p->length - i) - 0.5) / (double)p->fall);
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

static int64_t transition_length(const tw_timeline *edit, const tw_item *item)
{
    return item->kind == TW_ITEM_TRANSITION ? tw_item_frames(edit, item) : 0;
}

/* Seconds after the file's start. */
static double file_time(const tw_preview_job *job, const tw_preview_source *source, const tw_item *clip, int64_t frame)
{
    double at = (double)twi_preview_file_frame(job->edit, source, clip, frame);
    tw_rate rate = tw_rate_known(source->file->rate) ? source->file->rate : job->edit->rate;
    return at / tw_rate_fps(rate) + source->info->lead;
}

static void pour_clip(mixing *m, const tw_track *tracks, size_t count, const tw_track *track, size_t index,
                      int64_t offset)
{
    const tw_timeline *edit = m->job->edit;
    const tw_item *clip = &track->items[index];
    const tw_preview_source *source = &m->job->sources[clip->index];
    int rank, all;
    pour p = {.fd = m->fd, .stop = m->job->tools->stop};
    tw_sound_ask ask = {.speed = clip->speed};
    find_partners(tracks, count, track, clip, &rank, &all);
    if (source->info == NULL || source->info->sound_count == 0 || !(clip->speed >= 0.5 && clip->speed <= 100) ||
        !choose(source->info, rank, all, &ask, &p))
        return;
    int64_t head = tw_item_head(edit, clip), tail = tw_item_tail(edit, clip), frames = tw_item_frames(edit, clip);
    int64_t begins = tw_item_record_in(edit, clip) - head - offset, ends = begins + head + frames + tail;
    double late = begins < 0 ? (double)-begins : 0; /* before the programme */
    ask.start = file_time(m->job, source, clip, -head) + late / tw_rate_fps(edit->rate) * clip->speed;
    begins = begins < 0 ? 0 : begins;
    if (ask.start < 0) { /* the file begins later */
        begins += llround(-ask.start / clip->speed * tw_rate_fps(edit->rate));
        ask.start = 0;
    }
    p.at = twi_sound_sample(edit->rate, begins);
    p.end = twi_sound_sample(edit->rate, ends);
    p.end = p.end > m->length ? m->length : p.end;
    p.length = ask.samples = p.end - p.at;
    if (index > 0)
        p.rise = twi_sound_sample(edit->rate, transition_length(edit, &track->items[index - 1]));
    if (index + 1 < track->item_count)
        p.fall = twi_sound_sample(edit->rate, transition_length(edit, &track->items[index + 1]));
    if (ask.samples <= 0)
        return;
    tw_diags *own = tw_diags_new(m->arena);
    m->status = tw_media_sound_read(m->arena, m->job->tools, source->info, &ask, own, take, &p);
    m->fault = p.fault;
    if (m->status == TW_OK || tw_diags_kept(own) == 0)
        return; /* fine, or asked to stop */
    const tw_place place = {.file = source->info->path};
    tw_diag_add(m->diags, 2114, &place, "%.*s: silence stands in for it", TW_ARG(tw_diags_get(own, 0)->message));
    m->status = TW_OK;
}

static void pour_tracks(mixing *m, const tw_track *tracks, size_t count, int64_t offset)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count && m->status == TW_OK && m->fault == 0; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (tracks[t].kind == TW_TRACK_AUDIO && tracks[t].enabled && item->kind == TW_ITEM_CLIP && item->enabled)
                pour_clip(m, tracks, count, &tracks[t], i, offset);
        }
    }
}

static bool has_sound(const tw_timeline *edit)
{
    for (size_t t = 0; t < edit->track_count; t++)
        for (size_t i = 0; i < edit->tracks[t].item_count; i++)
            if (edit->tracks[t].kind == TW_TRACK_AUDIO && edit->tracks[t].items[i].kind == TW_ITEM_CLIP)
                return true;
    return false;
}

tw_status twi_sound_mix(tw_arena *arena, const tw_preview_job *job, const char *path, tw_diags *diags, bool *any)
{
    mixing m = {.arena = arena, .job = job, .diags = diags};
    *any = has_sound(job->edit);
    if (!*any)
        return TW_OK;
    m.length = twi_sound_sample(job->edit->rate, tw_preview_length(job->edit));
    m.fd = open(path, O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    if (m.fd < 0 || ftruncate(m.fd, (off_t)m.length * PAIR) != 0)
        m.fault = errno;
    if (m.fault == 0)
        pour_tracks(&m, job->edit->tracks, job->edit->track_count,
                    tw_time_round(job->edit->start, job->edit->rate, NULL));
    if (m.fd >= 0 && close(m.fd) != 0 && m.fault == 0)
        m.fault = errno;
    if (m.fault == 0)
        return m.status;
    const tw_place place = {.file = tw_str_z(path)};
    tw_diag_add(diags, 2112, &place, "the sound cannot be written: %s", strerror(m.fault));
    return TW_ERR_IO;
}
