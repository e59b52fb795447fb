/* SPDX-License-Identifier: Apache-2.0
 *
 * The deliveries as moving pictures.
 */
#include "cmd.h"
#include "media.h"

#include <stdio.h>

#define WIDE_MOST 1920 /* of a film of several deliveries, and of a draft of one */
#define HIGH_MOST 1080
#define DRAFT_MOST 640

typedef struct showing {
    cli *app;
    const project *p;
    tw_derived *derived;
    library lib;
    tw_preview_source *sources; /* by clip index */
    const tw_stand *stands;     /* by clip index */
    const tw_framing ***framings;
    tw_preview_pane *panes;
    tw_preview_film *films;
    size_t film_count;
    size_t shots;         /* with a picture of their own */
    size_t warnings;      /* before any file was looked for */
    missing gone, silent; /* clips without a file for their picture, their sound */
} showing;

/* ---- clips ------------------------------------------------------------------------------------------------- */

static void name_shots(showing *s)
{
    const tw_derived_delivery *d = &s->derived->deliveries[0];
    for (size_t i = 0; i < d->shot_count; i++) {
        tw_preview_source *source = &s->sources[d->shots[i].clip->index];
        const tw_source *of = d->shots[i].source;
        source->event =
            d->shots[i].clip->event.len > 0 ? d->shots[i].clip->event : tw_arena_printf(s->app->arena, "%zu", i + 1);
        if (of != NULL) {
            source->size = of->size;
            source->squeeze = of->squeeze;
        }
    }
}

static bool take_framing(void *context, const tw_track *track, const tw_item *item)
{
    const tw_framing **framings = context;
    (void)track;
    if (item->kind == TW_ITEM_CLIP && item->framing != NULL)
        framings[item->index] = item->framing;
    return true;
}

/* The framings as `fork` writes them. */
static void take_framings(showing *s)
{
    const tw_timeline *edit = s->p->edit.timeline;
    s->framings = (const tw_framing ***)TW_NEW_N(s->app->arena, tw_framing **, s->derived->delivery_count);
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        s->framings[d] = (const tw_framing **)TW_NEW_N(s->app->arena, tw_framing *, edit->clip_count);
        tw_timeline_walk(tw_derive_timeline(s->app->arena, s->derived, d, s->p->edit.hash), take_framing,
                         (void *)s->framings[d]);
    }
}

/* The smallest file that loses nothing; for a draft the smallest. Sound may be in any that has some. */
static size_t choose_file(const showing *s, const tw_item *clip, const tw_media_match *m)
{
    tw_size size = s->sources[clip->index].size;
    if (m->original == TW_MEDIA_NONE || m->proxy == TW_MEDIA_NONE)
        return m->original != TW_MEDIA_NONE ? m->original : m->proxy;
    const tw_media_file *original = &s->lib.files[m->original];
    if (size.w == 0)
        size = (tw_size){original->width, original->height};
    bool enough = s->lib.files[m->proxy].width >= tw_preview_width(s->films, s->film_count, clip, size);
    return s->app->set.draft || enough ? m->proxy : m->original;
}

static void find_one(showing *s, const tw_item *clip, bool sound)
{
    const tw_timeline *edit = s->p->edit.timeline;
    tw_preview_source *source = &s->sources[clip->index];
    const tw_span shown = s->stands[clip->index].shown;
    if (shown.first == shown.end)
        return;
    s->shots += !sound;
    source->reel = tw_item_source_name(clip);
    source->want = library_want(s->app, edit, clip, shown.first, shown.end - shown.first);
    source->want.sound = sound;
    const tw_media_match m = library_find(s->app, &s->lib, &source->want);
    if (m.miss != TW_MISS_NONE) {
        missing_add(sound ? &s->silent : &s->gone, clip, &source->want, &m);
        return;
    }
    size_t index = sound && m.original != TW_MEDIA_NONE ? m.original : choose_file(s, clip, &m);
    source->info = &s->lib.infos[index];
    source->file = &s->lib.files[index];
}

static bool find_file(void *context, const tw_track *track, const tw_item *item)
{
    bool shown = item->kind == TW_ITEM_CLIP && item->enabled && track->enabled && track->kind != TW_TRACK_OTHER &&
                 !tw_item_is_black(item);
    if (shown)
        find_one(context, item, track->kind == TW_TRACK_AUDIO);
    return true;
}

/* Rendering may take long: who forgot --media wants to know before. */
static void tell_slates(const showing *s)
{
    size_t gone = 0;
    for (size_t i = 0; i < s->gone.len; i++)
        gone += s->gone.at[i].count;
    if (gone > 0 && !s->app->set.quiet)
        say_error("%zu of %zu shots have no camera file and are rendered as slates", gone, s->shots);
}

static void find_files(showing *s)
{
    s->gone = s->silent = (missing){.app = s->app, .edit = s->p->edit.timeline, .lib = &s->lib};
    s->stands = tw_timeline_stands(s->app->arena, s->p->edit.timeline);
    tw_timeline_walk(s->p->edit.timeline, find_file, s);
    tell_slates(s);
    missing_tell(&s->gone);
    if (s->lib.count > 0)
        missing_tell(&s->silent);
}

/* ---- films ------------------------------------------------------------------------------------------------- */

static tw_size drafted(tw_size size)
{
    int32_t longer = size.w > size.h ? size.w : size.h;
    double k = longer > DRAFT_MOST ? (double)DRAFT_MOST / longer : 1;
    return (tw_size){(int32_t)(size.w * k / 2 + 0.5) * 2, (int32_t)(size.h * k / 2 + 0.5) * 2};
}

static tw_preview_pane pane_of(const showing *s, size_t delivery)
{
    return (tw_preview_pane){.name = s->derived->deliveries[delivery].delivery->name,
                             .framings = s->framings[delivery]};
}

static const char *film_path(const showing *s, tw_str name)
{
    if (s->app->set.out != NULL)
        return s->app->set.out;
    tw_str ending = tw_arena_printf(s->app->arena, "%.*s%s.mp4", TW_ARG(name), s->app->set.draft ? ".draft" : "");
    return name_beside(s->app->arena, s->p->folder, s->p->edit.path, ending);
}

/* What holds the pictures and the sound that are made here. */
static bool can_be_written(const char *path)
{
    static const char *const endings[] = {".mp4", ".mov", ".mkv"};
    for (size_t i = 0; i < TW_COUNT(endings); i++)
        if (tw_str_iends(tw_str_z(path), tw_str_z(endings[i])))
            return true;
    say_error("%s cannot be written: a film ends in .mp4, .mov or .mkv", path);
    return false;
}

static int32_t even(int32_t v)
{
    return v + v % 2;
}

static void one_each(showing *s)
{
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        tw_size size = s->derived->deliveries[d].delivery->size;
        size = s->app->set.draft ? drafted(size) : size;
        s->panes[d] = pane_of(s, d);
        s->panes[d].w = size.w;
        s->panes[d].h = size.h;
        s->films[s->film_count++] =
            (tw_preview_film){film_path(s, s->panes[d].name), even(size.w), even(size.h), &s->panes[d], 1};
    }
}

static void side_by_side(showing *s)
{
    size_t count = s->derived->delivery_count;
    tw_size *sizes = TW_NEW_N(s->app->arena, tw_size, count);
    tw_size most = s->app->set.draft ? (tw_size){WIDE_MOST / 2, HIGH_MOST / 3} : (tw_size){WIDE_MOST, HIGH_MOST};
    for (size_t d = 0; d < count; d++) {
        sizes[d] = s->derived->deliveries[d].delivery->size;
        s->panes[d] = pane_of(s, d);
    }
    tw_size size = tw_preview_layout(sizes, count, most, s->panes);
    s->films[s->film_count++] = (tw_preview_film){film_path(s, TW_STR("shapes")), size.w, size.h, s->panes, count};
}

static exit_code lay_out(showing *s)
{
    size_t count = s->derived->delivery_count;
    s->panes = TW_NEW_N(s->app->arena, tw_preview_pane, count);
    s->films = TW_NEW_N(s->app->arena, tw_preview_film, count);
    if (s->app->set.side_by_side)
        side_by_side(s);
    else if (s->app->set.out != NULL && count > 1) {
        say_error("-o names one film, and there are %zu deliveries: choose one with --only, or all with --side-by-side",
                  count);
        return EXIT_USAGE;
    } else
        one_each(s);
    return EXIT_FINE;
}

static tw_status render(const showing *s)
{
    cli *app = s->app;
    const tw_preview_job job = {
        .edit = s->p->edit.timeline,
        .tools = &s->lib.tools,
        .sources = s->sources,
        .films = s->films,
        .film_count = s->film_count,
        .sound = true,
        .burn_in = app->set.burn_in,
        .draft = app->set.draft,
        .progress = progress_frames,
        .progress_context = app,
    };
    progress_phase(app, "rendering", (tw_str){NULL, 0});
    tw_status status = tw_preview_render(app->arena, &job, app->diags);
    progress_end(app);
    return status;
}

static exit_code tell(const showing *s)
{
    tw_buf *out = &s->app->out;
    bool fine = tw_diags_count(s->app->diags, TW_WARNING) <= s->warnings;
    if (s->app->set.json) {
        tw_buf_addf(out, "{\"ok\": %s, \"films\": [", fine ? "true" : "false");
        for (size_t f = 0; f < s->film_count; f++) {
            tw_diag_json_next("", out);
            tw_diag_json_string(tw_str_z(s->films[f].path), out);
        }
        tw_buf_addc(out, ']');
        tw_diag_json_end(s->app->diags, out);
        s->app->told = true;
    } else if (!s->app->set.quiet)
        for (size_t f = 0; f < s->film_count; f++)
            tw_buf_addf(out, "wrote %s, %dx%d\n", s->films[f].path, s->films[f].width, s->films[f].height);
    return fine ? EXIT_FINE : EXIT_FINDINGS;
}

/* What can be told without looking into any file comes first. */
static exit_code prepare(showing *s)
{
    s->sources = TW_NEW_N(s->app->arena, tw_preview_source, s->p->edit.timeline->clip_count);
    name_shots(s);
    take_framings(s);
    return lay_out(s);
}

static exit_code spare_inputs(const showing *s)
{
    for (size_t f = 0; f < s->film_count; f++) {
        if (library_holds(&s->lib, s->films[f].path)) {
            say_error("%s would overwrite a camera file: choose another name with -o", s->films[f].path);
            return EXIT_USAGE;
        }
    }
    return EXIT_FINE;
}

static exit_code look_for_files(showing *s)
{
    s->warnings = tw_diags_count(s->app->diags, TW_WARNING);
    exit_code code = library_load(s->app, s->p, s->p->edit.timeline, &s->lib);
    if (code == EXIT_FINE && s->lib.tools.coders == TW_CODERS_UNKNOWN)
        code = code_of(tw_media_ready(s->app->arena, &s->lib.tools, s->app->diags));
    if (code == EXIT_FINE)
        code = spare_inputs(s);
    if (code == EXIT_FINE)
        find_files(s);
    return code;
}

exit_code cmd_preview(cli *app)
{
    project p;
    showing s = {.app = app, .p = &p};
    if (app->set.out != NULL && !can_be_written(app->set.out))
        return EXIT_USAGE;
    exit_code code = load_solved(app, &p, &s.derived);
    if (code == EXIT_FINE)
        code = prepare(&s);
    if (code == EXIT_FINE)
        code = look_for_files(&s);
    if (code == EXIT_FINE)
        code = code_of(render(&s));
    return code == EXIT_FINE ? tell(&s) : code;
}
