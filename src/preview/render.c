/* SPDX-License-Identifier: Apache-2.0
 *
 * Frame by frame: what is seen is decoded once and drawn into every film.
 */
#define _POSIX_C_SOURCE 200809L
#include "preview/preview_internal.h"

#include <unistd.h>

/* When a clip is seen, and which frames of its file. */
typedef struct span {
    const tw_item *clip;
    int64_t first, last;           /* record */
    int64_t file_first, file_last; /* at those */
} span;

typedef struct rendering {
    tw_arena *arena;
    const tw_preview_job *job;
    tw_diags *diags;
    int64_t length;
    const tw_preview_order *order;
    span *spans; /* by first record frame */
    size_t span_count, opened;
    const span **open; /* those whose streams are */
    size_t open_count;
    twi_stream **streams; /* by clip index */
    tw_media_writer **writers;
    tw_fileset *set;     /* of the films */
    const char **hidden; /* where they are made */
    uint8_t **canvases;
} rendering;

/* ---- before ------------------------------------------------------------------------------------------------ */

static int by_first(const void *a, const void *b)
{
    const span *x = a, *y = b;
    return TW_CMP(x->first, y->first);
}

/* Walks the whole programme once: cheap beside decoding it. */
static void find_spans(rendering *r)
{
    const tw_preview_job *job = r->job;
    span **of = (span **)TW_NEW_N(r->arena, span *, job->edit->clip_count);
    r->spans = TW_NEW_N(r->arena, span, job->edit->clip_count);
    r->open = (const span **)TW_NEW_N(r->arena, const span *, job->edit->clip_count);
    r->order = tw_preview_lay(r->arena, job->edit);
    for (int64_t f = 0; f < r->length; f++) {
        tw_preview_layer layers[TW_PREVIEW_LAYERS];
        size_t count = tw_preview_layers(r->order, f, layers);
        for (size_t i = 0; i < count; i++) {
            const tw_item *clip = layers[i].clip;
            if (clip == NULL || job->sources[clip->index].info == NULL)
                continue;
            int64_t at = twi_preview_file_frame(job->edit, &job->sources[clip->index], clip, layers[i].frame);
            if (of[clip->index] == NULL) {
                of[clip->index] = &r->spans[r->span_count++];
                *of[clip->index] = (span){clip, f, f, at, at};
            }
            of[clip->index]->last = f;
            of[clip->index]->file_last = at;
        }
    }
    TW_SORT(r->spans, r->span_count, by_first);
}

static void open_span(rendering *r, const span *s)
{
    const tw_preview_source *source = &r->job->sources[s->clip->index];
    tw_size size = source->size.w > 0 ? source->size : (tw_size){source->info->width, source->info->height};
    int32_t width = tw_preview_width(r->job->films, r->job->film_count, s->clip, size);
    r->streams[s->clip->index] =
        twi_stream_open(r->arena, r->job->tools, source->info, s->file_first, s->file_last, width, r->diags);
}

/* Decoders are started a little before they are needed, so that nobody waits for them to begin. */
static void open_ahead(rendering *r, int64_t frame)
{
    int64_t ahead = frame + tw_rate_count(r->job->edit->rate) / 2;
    for (; r->opened < r->span_count && r->spans[r->opened].first <= ahead; r->opened++) {
        open_span(r, &r->spans[r->opened]);
        r->open[r->open_count++] = &r->spans[r->opened];
    }
}

static void close_behind(rendering *r, int64_t frame)
{
    size_t kept = 0;
    for (size_t i = 0; i < r->open_count; i++) {
        if (r->open[i]->last < frame)
            twi_stream_close(&r->streams[r->open[i]->clip->index]);
        else
            r->open[kept++] = r->open[i];
    }
    r->open_count = kept;
}

/* ---- a frame ----------------------------------------------------------------------------------------------- */

static void look(rendering *r, int64_t frame, twi_moment *m)
{
    const tw_preview_job *job = r->job;
    tw_preview_layer layers[TW_PREVIEW_LAYERS];
    m->job = job;
    m->frame = frame;
    m->count = tw_preview_layers(r->order, frame, layers);
    for (size_t i = 0; i < m->count; i++) {
        twi_seen *seen = &m->seen[i];
        *seen = (twi_seen){.layer = layers[i]};
        if (layers[i].clip == NULL)
            continue;
        seen->source = &job->sources[layers[i].clip->index];
        twi_stream *stream = r->streams[layers[i].clip->index];
        if (stream != NULL)
            seen->picture =
                twi_stream_at(stream, twi_preview_file_frame(job->edit, seen->source, layers[i].clip, layers[i].frame));
    }
}

static bool stopped(const rendering *r)
{
    return r->job->tools->stop != NULL && *r->job->tools->stop != 0;
}

static tw_status draw(rendering *r, const twi_moment *m)
{
    tw_status status = TW_OK;
    for (size_t f = 0; f < r->job->film_count && status == TW_OK; f++) {
        const tw_preview_film *film = &r->job->films[f];
        for (size_t p = 0; p < film->pane_count; p++) {
            tw_arena *scratch = tw_arena_like(r->arena);
            twi_compose_pane(scratch, m, film, p, r->canvases[f]);
            tw_arena_free(&scratch);
        }
        status = stopped(r) ? TW_ERR_IO : tw_media_put(r->writers[f], r->canvases[f]);
    }
    return status;
}

static tw_status run(rendering *r)
{
    const tw_preview_job *job = r->job;
    for (int64_t f = 0; f < r->length; f++) {
        twi_moment m;
        open_ahead(r, f);
        look(r, f, &m);
        tw_status status = draw(r, &m);
        if (status != TW_OK)
            return status;
        close_behind(r, f);
        if (job->progress != NULL)
            job->progress(job->progress_context, f + 1, r->length);
    }
    return TW_OK;
}

/* ---- films ------------------------------------------------------------------------------------------------- */

static tw_status refuse(const rendering *r, const char *path, tw_str why)
{
    if (!stopped(r))
        tw_diag_add(r->diags, 2112, TW_IN(tw_str_z(path)), "the film cannot be written: %.*s", TW_ARG(why));
    return TW_ERR_IO;
}

static tw_status make_room(rendering *r)
{
    for (size_t f = 0; f < r->job->film_count; f++) {
        tw_str why = {NULL, 0};
        if (tw_fileset_room(r->set, r->job->films[f].path, &r->hidden[f], &why) != TW_OK)
            return refuse(r, r->job->films[f].path, why);
    }
    return TW_OK;
}

static tw_status create(rendering *r, const char *sound)
{
    const tw_timeline *edit = r->job->edit;
    for (size_t f = 0; f < r->job->film_count; f++) {
        const tw_preview_film *film = &r->job->films[f];
        const tw_media_film out = {
            .path = film->path,
            .hidden = r->hidden[f],
            .width = film->width,
            .height = film->height,
            .rate = edit->rate,
            .start = tw_time_round(edit->start, edit->rate, NULL),
            .drop = edit->drop,
            .sound = sound,
            .draft = r->job->draft,
        };
        tw_status status = tw_media_create(r->arena, r->job->tools, &out, r->diags, &r->writers[f]);
        if (status != TW_OK)
            return status;
        r->canvases[f] = TW_NEW_N(r->arena, uint8_t, 3 * (size_t)film->width * (size_t)film->height);
        twi_compose_clear(film, r->canvases[f]);
    }
    return TW_OK;
}

static tw_status finish(rendering *r)
{
    tw_status status = TW_OK;
    for (size_t f = 0; f < r->job->film_count && status == TW_OK; f++)
        status = tw_media_finish(r->writers[f]);
    tw_str why = {NULL, 0};
    if (status == TW_OK && tw_fileset_commit(r->set, &why) != TW_OK)
        status = refuse(r, r->job->films[0].path, why);
    return status;
}

typedef struct names {
    rendering *r;
    tw_str *at;
    size_t len, cap;
} names;

/* Each kind once, where it first stands. */
static bool tell_transition(void *context, const tw_track *track, const tw_item *item)
{
    names *n = context;
    if (item->kind != TW_ITEM_TRANSITION || track->kind != TW_TRACK_VIDEO || tw_preview_wipe(item->name) >= 0)
        return true;
    for (size_t i = 0; i < n->len; i++)
        if (tw_str_eq(n->at[i], item->name))
            return true;
    TW_PUSH(n->r->arena, n->at, n->len, n->cap) = item->name;
    tw_diag_add(n->r->diags, 2115, &item->place, "\"%.*s\" is shown as a dissolve", TW_ARG(item->name));
    return true;
}

static tw_status render(rendering *r, const char *sound)
{
    names told = {.r = r};
    tw_timeline_walk(r->job->edit, tell_transition, &told);
    find_spans(r);
    tw_status status = create(r, sound);
    if (status == TW_OK)
        status = run(r);
    if (status == TW_OK)
        status = finish(r);
    for (size_t i = 0; i < r->job->edit->clip_count; i++)
        twi_stream_close(&r->streams[i]);
    for (size_t f = 0; f < r->job->film_count; f++)
        tw_media_drop(&r->writers[f]);
    return status;
}

tw_status tw_preview_render(tw_arena *arena, const tw_preview_job *job, tw_diags *diags)
{
    tw_arena *own = tw_arena_like(arena);
    rendering r = {.arena = own, .job = job, .diags = diags, .length = tw_preview_length(job->edit)};
    r.streams = (twi_stream **)TW_NEW_N(own, twi_stream *, job->edit->clip_count);
    r.writers = (tw_media_writer **)TW_NEW_N(own, tw_media_writer *, job->film_count);
    r.set = tw_fileset_new(own);
    r.hidden = TW_NEW_N(own, const char *, job->film_count);
    r.canvases = (uint8_t **)TW_NEW_N(own, uint8_t *, job->film_count);
    const char *path = NULL;
    bool any = false;
    tw_status status = make_room(&r);
    if (status == TW_OK && job->sound) {
        path = tw_arena_printf(own, "%s.sound", r.hidden[0]).at;
        status = twi_sound_mix(own, job, path, diags, &any);
    }
    if (status == TW_OK)
        status = render(&r, any ? path : NULL);
    tw_fileset_drop(r.set);
    if (any)
        unlink(path);
    tw_arena_free(&own);
    return status;
}
