/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "media.h"

#include <stdlib.h>
#include <sys/stat.h>

/* ---- which files there are ------------------------------------------------------------------------------- */

typedef struct camera_file {
    const char *path;
    const tw_source_media *said; /* by a plan; NULL: found in a folder */
    const tw_source *of;
} camera_file;

typedef struct pile {
    cli *app;
    camera_file *at;
    size_t count, cap;
} pile;

static void put(pile *p, camera_file file)
{
    TW_PUSH(p->app->arena, p->at, p->count, p->cap) = file;
}

static void put_plan(pile *p, const project *of)
{
    for (size_t s = 0; of != NULL && s < of->plan->source_count; s++) {
        const tw_source *source = &of->plan->sources[s];
        for (size_t m = 0; m < source->media_count; m++)
            put(p, (camera_file){project_path(p->app, of, source->media[m].file), &source->media[m], source});
    }
}

static exit_code put_folders(pile *p)
{
    const text_list *folders = &p->app->set.media;
    for (size_t i = 0; i < folders->len; i++) {
        tw_media_paths found;
        tw_status status = tw_media_scan(p->app->arena, folders->at[i], p->app->diags, &found);
        if (status != TW_OK)
            return code_of(status);
        for (size_t f = 0; f < found.count; f++)
            put(p, (camera_file){found.at[f], NULL, NULL});
    }
    return EXIT_FINE;
}

/* ---- what is in them ------------------------------------------------------------------------------------- */

typedef struct probing {
    const pile *files;
    library *lib;
    bool *fine;
} probing;

static void probe_one(void *context, tw_arena *arena, tw_diags *diags, size_t i)
{
    const probing *p = context;
    tw_diags *own = tw_diags_new(arena);
    p->fine[i] = tw_media_probe(arena, &p->lib->tools, p->files->at[i].path, own, &p->lib->infos[i]) == TW_OK;
    for (size_t d = 0; d < tw_diags_kept(own); d++)
        tw_diag_add(diags, 2107, &tw_diags_get(own, d)->place, "%.*s", TW_ARG(tw_diags_get(own, d)->message));
}

/* What a person wrote goes before what the file says. */
static void take_said(tw_media_file *file, const camera_file *from)
{
    const tw_source_media *said = from->said;
    if (said == NULL)
        return;
    file->proxy = file->proxy || said->proxy;
    if (said->reel.len > 0)
        file->reel = said->reel;
    else if (!tw_str_has_wildcard(from->of->reel))
        file->reel = from->of->reel;
    if (said->frames > 0 && !file->still)
        file->frames = said->frames;
    if (said->has_start && !file->still) {
        file->has_start = true;
        file->start = said->start;
    }
}

static void keep_fine(const pile *files, const bool *fine, tw_rate rate, library *lib)
{
    size_t kept = 0;
    for (size_t i = 0; i < files->count; i++) {
        if (!fine[i]) {
            lib->unread[lib->unread_count++] = tw_str_z(files->at[i].path);
            continue;
        }
        lib->infos[kept] = lib->infos[i];
        lib->files[kept] = tw_media_file_of(&lib->infos[i], rate);
        take_said(&lib->files[kept], &files->at[i]);
        kept++;
    }
    lib->count = kept;
}

exit_code library_load(cli *app, const project *of, const tw_timeline *edit, library *out)
{
    pile files = {.app = app};
    *out = (library){.tools = {.ffmpeg = getenv("TW_FFMPEG"), .ffprobe = getenv("TW_FFPROBE"), .stop = stop_flag()}};
    stop_watch();
    put_plan(&files, of);
    exit_code code = put_folders(&files);
    if (code != EXIT_FINE || files.count == 0)
        return code;
    code = code_of(tw_media_ready(app->arena, &out->tools, app->diags));
    if (code != EXIT_FINE)
        return code;
    out->files = TW_NEW_N(app->arena, tw_media_file, files.count);
    out->infos = TW_NEW_N(app->arena, tw_media_info, files.count);
    out->unread = TW_NEW_N(app->arena, tw_str, files.count);
    out->doubted = TW_NEW_N(app->arena, bool, files.count);
    probing p = {&files, out, TW_NEW_N(app->arena, bool, files.count)};
    jobs_run(app, files.count, probe_one, &p);
    keep_fine(&files, p.fine, edit->rate, out);
    return stop_asked() ? EXIT_IO : EXIT_FINE;
}

bool library_holds(const library *lib, const char *path)
{
    struct stat a, b;
    if (stat(path, &a) != 0)
        return false;
    for (size_t i = 0; i < lib->count; i++)
        if (stat(lib->infos[i].path.at, &b) == 0 && a.st_dev == b.st_dev && a.st_ino == b.st_ino)
            return true;
    return false;
}

tw_media_match library_find(cli *app, const library *lib, const tw_media_want *want)
{
    const tw_media_match m = tw_media_find(lib->files, lib->count, want);
    const size_t chosen = m.original != TW_MEDIA_NONE ? m.original : m.proxy;
    if (m.rival != TW_MEDIA_NONE && !lib->doubted[chosen]) {
        tw_diag_add(app->diags, 2116, TW_IN(lib->files[chosen].path),
                    "taken for what the edit shows of %.*s, as %.*s might be as well", TW_ARG(want->names[0]),
                    TW_ARG(lib->files[m.rival].path));
        lib->doubted[chosen] = true;
    }
    return m;
}

size_t library_best(const library *lib, const tw_media_match *m, int32_t wide)
{
    bool proxy = m->original == TW_MEDIA_NONE || (m->proxy != TW_MEDIA_NONE && lib->files[m->proxy].width >= wide);
    return proxy ? m->proxy : m->original;
}

/* ---- what a clip shows ----------------------------------------------------------------------------------- */

tw_media_want library_want(cli *app, const tw_timeline *edit, const tw_item *clip, int64_t first, int64_t frames)
{
    tw_names *names = TW_NEW(app->arena, tw_names);
    *names = tw_item_names(clip);
    int64_t a = tw_item_shown_frame(edit, clip, first);
    int64_t b = tw_item_shown_frame(edit, clip, first + (frames > 0 ? frames - 1 : 0));
    tw_media_want want = {
        .names = names->at,
        .name_count = names->at[0].len > 0 ? names->count : 0,
        .in = a < b ? a : b,
        .out = (a > b ? a : b) + 1,
        .rate = tw_item_source_rate(edit, clip),
    };
    const tw_media *media = tw_item_media(clip);
    want.has_base = media != NULL && media->has_available;
    if (want.has_base)
        want.base = tw_time_round(media->available.start, want.rate, NULL);
    return want;
}

/* ---- what is not there ----------------------------------------------------------------------------------- */

/* Nothing of the kind belongs to the reel; something of another kind may, or something broken. */
static tw_str why_unnamed(const missing *m, const tw_media_want *want)
{
    for (size_t i = 0; i < m->lib->count; i++)
        if (tw_media_named(&m->lib->files[i], want->names, want->name_count))
            return tw_arena_printf(m->app->arena, "%.*s is called so, but holds no %s", TW_ARG(m->lib->files[i].path),
                                   want->sound ? "sound" : "picture");
    for (size_t i = 0; i < m->lib->unread_count; i++) {
        const tw_media_file file = {.path = m->lib->unread[i]};
        if (tw_media_named(&file, want->names, want->name_count))
            return tw_arena_printf(m->app->arena, "%.*s is called so, but cannot be read", TW_ARG(file.path));
    }
    return TW_STR("no file or folder is called so, nor is that reel written into one");
}

/* In words that go on after "A003: ". */
static tw_str why_missing(const missing *m, const missing_reel *r)
{
    const tw_media_file *near = r->match.near != TW_MEDIA_NONE ? &m->lib->files[r->match.near] : NULL;
    tw_buf why = {.arena = m->app->arena};
    if (near == NULL)
        return why_unnamed(m, &r->want);
    if (r->match.miss == TW_MISS_NO_TIME) {
        tw_buf_addf(&why, "%.*s holds no time code, and its length does not fit", TW_ARG(near->path));
        return tw_buf_str(&why);
    }
    tw_rate rate = tw_rate_known(near->rate) ? near->rate : r->want.rate;
    tw_buf_addf(&why, "%.*s, the nearest, holds ", TW_ARG(near->path));
    tw_tc_add(near->start, rate, r->clip->source_drop, &why);
    tw_buf_addz(&why, " to ");
    tw_tc_add(near->start + near->frames, rate, r->clip->source_drop, &why);
    return tw_buf_str(&why);
}

void missing_add(missing *m, const tw_item *clip, const tw_media_want *want, const tw_media_match *match)
{
    tw_str reel = tw_item_source_name(clip);
    for (size_t i = 0; i < m->len; i++) {
        if (tw_str_eq(m->at[i].reel, reel)) {
            m->at[i].count++;
            return;
        }
    }
    TW_PUSH(m->app->arena, m->at, m->len, m->cap) = (missing_reel){reel, clip, *want, *match, 1};
}

void missing_all(const cli *app, const library *lib)
{
    if (lib->unread_count > 0)
        tw_diag_add(app->diags, 2113, NULL, "no camera file can be read of the %zu named or found", lib->unread_count);
    else
        tw_diag_add(app->diags, 2113, NULL, "there are no camera files: the plan names none, and --media %s",
                    app->set.media.len > 0 ? "found none" : "was not given");
}

void missing_tell(const missing *m)
{
    if (m->len > 0 && m->lib->count == 0) {
        missing_all(m->app, m->lib);
        return;
    }
    for (size_t i = 0; i < m->len; i++) {
        const missing_reel *r = &m->at[i];
        tw_str at = tw_tc_text(m->app->arena, r->want.in, r->want.rate, r->clip->source_drop);
        tw_buf more = {.arena = m->app->arena};
        if (r->count > 1)
            tw_buf_addf(&more, " and %zu more clip%s", r->count - 1, TW_PLURAL(r->count - 1));
        tw_diag_add(m->app->diags, 2108, NULL, "%.*s: no file for %.*s%.*s: %.*s", TW_ARG(r->reel), TW_ARG(at),
                    TW_ARG(tw_buf_str(&more)), TW_ARG(why_missing(m, r)));
    }
}
