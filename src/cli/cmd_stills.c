/* SPDX-License-Identifier: Apache-2.0
 *
 * Pictures for the sheet: the first and the last frame of every shot, and the frame of every key.
 */
#define _XOPEN_SOURCE 700
#include "cmd.h"
#include "media.h"

#include <stdlib.h>
#include <sys/stat.h>

#define STILL_WIDE 960 /* more than a sheet shows, enough to look closely */

typedef struct still {
    const tw_item *clip;
    tw_str name;
    tw_media_want want;
    double source_frame;
    /* once found */
    const tw_media_info *info;
    const tw_media_file *file;
    const char *path;
    bool fresh, made;
} still;

typedef struct stills {
    cli *app;
    const tw_timeline *edit;
    still *at;
    size_t len, cap;
    const char *folder;
    const library *lib;
} stills;

/* ---- which pictures -------------------------------------------------------------------------------------- */

static void add_still(stills *s, const tw_decision *shot, int64_t frame)
{
    if (frame < shot->stand->body.first || frame >= shot->stand->body.end)
        return;
    TW_PUSH(s->app->arena, s->at, s->len, s->cap) = (still){
        .clip = shot->clip,
        .name = tw_report_still_name(s->app->arena, s->edit, shot->clip, frame),
        .want = library_want(s->app, s->edit, shot->clip, frame, 1),
        .source_frame = tw_item_source_frame(s->edit, shot->clip, frame),
    };
}

static void add_shot(stills *s, const tw_decision *shot)
{
    if (shot->verdict == TW_VERDICT_BLACK)
        return;
    add_still(s, shot, shot->stand->body.first);
    for (size_t k = 0; shot->framing != NULL && k < shot->framing->key_count; k++)
        add_still(s, shot, shot->framing->keys[k].frame);
    add_still(s, shot, shot->stand->body.end - 1);
}

static int by_name(const void *a, const void *b)
{
    return tw_str_cmp(((const still *)a)->name, ((const still *)b)->name);
}

/* Deliveries share most of their pictures, and so do shots of one take. */
static void list_stills(stills *s, const tw_derived *derived)
{
    for (size_t d = 0; d < derived->delivery_count; d++)
        for (size_t i = 0; i < derived->deliveries[d].shot_count; i++)
            add_shot(s, &derived->deliveries[d].shots[i]);
    TW_SORT(s->at, s->len, by_name);
    size_t kept = 0;
    for (size_t i = 0; i < s->len; i++)
        if (kept == 0 || !tw_str_eq(s->at[i].name, s->at[kept - 1].name))
            s->at[kept++] = s->at[i];
    s->len = kept;
}

/* ---- which files ----------------------------------------------------------------------------------------- */

static bool is_newer(const char *path, tw_str media)
{
    struct stat s, m;
    return stat(path, &s) == 0 && stat(media.at, &m) == 0 && S_ISREG(s.st_mode) && s.st_mtime > m.st_mtime;
}

static void find_file(stills *s, still *one, missing *gone)
{
    const library *lib = s->lib;
    const tw_media_match m = library_find(s->app, lib, &one->want);
    if (m.miss != TW_MISS_NONE) {
        missing_add(gone, one->clip, &one->want, &m);
        return;
    }
    size_t index = library_best(lib, &m, STILL_WIDE);
    one->info = &lib->infos[index];
    one->file = &lib->files[index];
    one->path = tw_arena_printf(s->app->arena, "%s/%.*s.jpg", s->folder, TW_ARG(one->name)).at;
    one->fresh = is_newer(one->path, one->info->path);
}

/* ---- making them ----------------------------------------------------------------------------------------- */

static void make_one(void *context, tw_arena *arena, tw_diags *diags, size_t index)
{
    const stills *s = context;
    still *one = &s->at[index];
    if (one->info == NULL || one->fresh)
        return;
    tw_arena *scratch = tw_arena_like(arena);
    tw_str jpeg, why = {NULL, 0};
    int64_t frame = tw_media_frame_of(one->file, &one->want, one->source_frame);
    tw_status status = tw_media_still(scratch, &s->lib->tools, one->info, frame, STILL_WIDE, diags, &jpeg);
    if (status == TW_OK && jpeg.len == 0)
        tw_diag_add(diags, 2109, TW_IN(one->info->path), "ends before frame %lld", (long long)frame);
    if (status == TW_OK && jpeg.len > 0) {
        tw_fileset *set = tw_fileset_new(scratch);
        tw_fileset_protect(set, one->info->path.at);
        tw_fileset_add(set, one->path, jpeg);
        one->made = tw_fileset_commit(set, &why) == TW_OK;
        if (!one->made && !stop_asked())
            tw_diag_add(diags, 2112, NULL, "%.*s", TW_ARG(why));
    }
    tw_arena_free(&scratch);
}

static exit_code tell(const stills *s)
{
    size_t made = 0, fresh = 0;
    for (size_t i = 0; i < s->len; i++) {
        made += s->at[i].made;
        fresh += s->at[i].fresh;
    }
    exit_code code = stop_asked() || tw_diags_failed(s->app->diags) ? EXIT_IO
                     : made + fresh < s->len                        ? EXIT_FINDINGS
                                                                    : EXIT_FINE;
    if (s->app->set.json) {
        tw_buf_addf(&s->app->out, "{\"ok\": %s, \"wanted\": %zu, \"made\": %zu, \"there\": %zu",
                    code == EXIT_FINE ? "true" : "false", s->len, made, fresh);
        tw_diag_json_end(s->app->diags, &s->app->out);
        s->app->told = true;
    } else if (!s->app->set.quiet)
        tw_buf_addf(&s->app->out, "%zu of %zu stills in %s, %zu of them new\n", made + fresh, s->len, s->folder, made);
    return code;
}

exit_code cmd_stills(cli *app)
{
    project p;
    library lib;
    tw_derived *derived = NULL;
    exit_code code = load_solved(app, &p, &derived);
    if (code == EXIT_FINE)
        code = library_load(app, &p, p.edit.timeline, &lib);
    if (code != EXIT_FINE)
        return code;
    stills s = {.app = app, .edit = p.edit.timeline, .lib = &lib, .folder = app->set.out};
    if (s.folder == NULL)
        s.folder = name_beside(app->arena, p.folder, p.edit.path, TW_STR("stills"));
    list_stills(&s, derived);
    missing gone = {.app = app, .edit = p.edit.timeline, .lib = &lib};
    for (size_t i = 0; i < s.len; i++)
        find_file(&s, &s.at[i], &gone);
    missing_tell(&gone);
    if (lib.count > 0)
        code = put_folder(s.folder);
    if (code != EXIT_FINE)
        return code;
    jobs_run(app, s.len, make_one, &s);
    return tell(&s);
}
