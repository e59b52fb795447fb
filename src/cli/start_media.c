/* SPDX-License-Identifier: Apache-2.0
 *
 * `start --media`: what the camera files say goes into the starter plan.
 */
#include "start_media.h"

#include <stdlib.h>

/* One source while its clips are looked up. */
typedef struct gathering {
    cli *app;
    const library *lib;
    const tw_timeline *edit;
    const tw_stand *stands;
    tw_source *sources;
    size_t count;
    bool *used;  /* by file: some shot shows it */
    bool *taken; /* by source and file */
    size_t shots, matched;
    missing gone, silent;
} gathering;

static tw_source *source_of(const gathering *g, const tw_item *clip, size_t *index)
{
    tw_str name = tw_item_source_name(clip);
    for (*index = 0; *index < g->count; ++*index)
        if (tw_str_eq(g->sources[*index].reel, name))
            return &g->sources[*index];
    return NULL;
}

static void tell_part(const gathering *g, const tw_item *clip, const tw_media_file *file)
{
    tw_str at = tw_tc_text(g->app->arena, g->stands[clip->index].seen.first, g->edit->rate, g->edit->drop);
    tw_diag_add(g->app->diags, 2109, TW_IN(file->path), "holds only part of what the shot of %.*s at %.*s shows",
                TW_ARG(tw_item_source_name(clip)), TW_ARG(at));
}

static void take(const gathering *g, size_t source, size_t file)
{
    if (file == TW_MEDIA_NONE)
        return;
    g->used[file] = true;
    g->taken[source * g->lib->count + file] = true;
}

static bool look_up(void *context, const tw_track *track, const tw_item *item)
{
    gathering *g = context;
    size_t index;
    bool sound = track->kind == TW_TRACK_AUDIO;
    bool shot = item->kind == TW_ITEM_CLIP && track->kind != TW_TRACK_OTHER && !tw_item_is_black(item);
    const tw_span shown = shot ? g->stands[item->index].shown : (tw_span){0, 0};
    if (shown.first == shown.end || source_of(g, item, &index) == NULL)
        return true;
    tw_media_want want = library_want(g->app, g->edit, item, shown.first, shown.end - shown.first);
    want.sound = sound;
    const tw_media_match m = library_find(g->app, g->lib, &want);
    g->shots += !sound;
    if (m.miss != TW_MISS_NONE) {
        missing_add(sound ? &g->silent : &g->gone, item, &want, &m);
        return true;
    }
    g->matched += !sound;
    take(g, index, m.original);
    take(g, index, m.proxy);
    if (!m.whole)
        tell_part(g, item, &g->lib->files[m.original != TW_MEDIA_NONE ? m.original : m.proxy]);
    return true;
}

/* ---- from files to a source ------------------------------------------------------------------------------ */

static const tw_media_file *largest(const gathering *g, size_t source, size_t *index)
{
    const tw_media_file *best = NULL;
    for (size_t f = 0; f < g->lib->count; f++) {
        const tw_media_file *file = &g->lib->files[f];
        if (!g->taken[source * g->lib->count + f] || file->proxy || file->width == 0)
            continue;
        if (best == NULL || (int64_t)file->width * file->height > (int64_t)best->width * best->height) {
            best = file;
            *index = f;
        }
    }
    return best;
}

/* As the edit counts it. */
static tw_rate rate_of(const gathering *g, const tw_source *s)
{
    return tw_rate_known(s->rate) ? s->rate : g->edit->rate;
}

static void take_shape(const gathering *g, size_t source)
{
    tw_source *s = &g->sources[source];
    size_t index = 0;
    const tw_media_file *file = largest(g, source, &index);
    if (file == NULL)
        return;
    if (s->size.w == 0)
        s->size = (tw_size){file->width, file->height};
    double squeeze = g->lib->infos[index].squeeze;
    if (squeeze >= 0.01 && squeeze <= 100) /* what a plan takes */
        s->squeeze = squeeze;
    if (file->still)
        s->kind = TW_SOURCE_STILL;
    const tw_rate rate = rate_of(g, s);
    /* Frame numbers of another count would read the edit's source times wrongly. */
    if (!file->still && tw_rate_known(file->rate) && tw_rate_count(file->rate) == tw_rate_count(rate) &&
        !tw_rate_eq(file->rate, rate)) {
        s->rate = file->rate;
        s->drop = g->lib->infos[index].drop;
    }
}

static bool is_same_size(const tw_media_file *file, tw_size size)
{
    return file->width == size.w && file->height == size.h;
}

static void add_file(const gathering *g, tw_source *s, const tw_media_file *file)
{
    bool same = file->width == 0 || is_same_size(file, s->size);
    tw_rate rate = rate_of(g, s);
    tw_source_media m = {
        .file = name_relative(g->app->arena, g->app->set.out, file->path.at),
        .has_start = file->has_start && !file->still && tw_rate_count(rate) == tw_rate_count(file->rate),
        .start = file->start,
        .size = {same ? 0 : file->width, same ? 0 : file->height},
        .proxy = file->width > 0 && (file->proxy || (!same && s->size.w > 0)),
    };
    m.frames = m.has_start ? file->frames : 0;
    s->media[s->media_count++] = m;
}

static void take_files(const gathering *g, size_t source)
{
    tw_source *s = &g->sources[source];
    size_t count = 0;
    for (size_t f = 0; f < g->lib->count; f++)
        count += g->taken[source * g->lib->count + f];
    s->media = TW_NEW_N(g->app->arena, tw_source_media, count);
    for (size_t f = 0; f < g->lib->count; f++)
        if (g->taken[source * g->lib->count + f])
            add_file(g, s, &g->lib->files[f]);
}

/* ---- telling --------------------------------------------------------------------------------------------- */

static void tell_sizes(const gathering *g, size_t source)
{
    size_t index = 0;
    const tw_source *s = &g->sources[source];
    for (size_t f = 0; f < g->lib->count; f++) {
        const tw_media_file *file = &g->lib->files[f];
        bool one =
            g->taken[source * g->lib->count + f] && !file->proxy && file->width > 0 && !is_same_size(file, s->size);
        /* Smaller ones of the same shape are proxies whose names do not say so. */
        if (!one || largest(g, source, &index) == NULL ||
            llabs((int64_t)file->width * s->size.h - (int64_t)file->height * s->size.w) <= s->size.w + s->size.h)
            continue;
        tw_diag_add(g->app->diags, 2111, TW_IN(file->path), "is %dx%d, and %.*s is %dx%d in the plan", file->width,
                    file->height, TW_ARG(s->reel), s->size.w, s->size.h);
    }
}

static void tell_unused(const gathering *g)
{
    for (size_t f = 0; f < g->lib->count; f++) {
        if (!g->used[f])
            tw_diag_add(g->app->diags, 2110, TW_IN(g->lib->files[f].path), "no shot shows or plays anything of it");
    }
}

/* Who names no folder with sound hears nothing of sound that is not there. */
static bool has_recordings(const library *lib)
{
    for (size_t f = 0; f < lib->count; f++)
        if (lib->infos[f].stream < 0)
            return true;
    return false;
}

exit_code start_media(cli *app, const tw_timeline *edit, tw_source *sources, size_t count)
{
    library lib;
    exit_code code = library_load(app, NULL, edit, &lib);
    if (code != EXIT_FINE)
        return code;
    gathering g = {.app = app, .lib = &lib, .edit = edit, .sources = sources, .count = count};
    g.stands = tw_timeline_stands(app->arena, edit);
    g.used = TW_NEW_N(app->arena, bool, lib.count);
    g.taken = TW_NEW_N(app->arena, bool, lib.count *count);
    g.gone = g.silent = (missing){.app = app, .edit = edit, .lib = &lib};
    tw_timeline_walk(edit, look_up, &g);
    for (size_t s = 0; s < count; s++) {
        take_shape(&g, s);
        take_files(&g, s);
        tell_sizes(&g, s);
    }
    missing_tell(&g.gone);
    if (has_recordings(&lib))
        missing_tell(&g.silent);
    tell_unused(&g);
    if (put_may_tell(app, app->set.out))
        tw_buf_addf(&app->out, "%zu of %zu shots have a file\n", g.matched, g.shots);
    return EXIT_FINE;
}
