/* SPDX-License-Identifier: Apache-2.0
 *
 * Shots that have no region get proposals: what moves by itself, shows a face or stands out in their pictures, as new
 * notes for people to keep, change or throw away.
 */
#define _POSIX_C_SOURCE 200809L
#include "follow.h"

#include <stdlib.h>
#include <unistd.h>

#define MOST_PROPOSED 3
#define LOOKS_A_SECOND 10
#define LEAST_SCORE 0.1
#define CASCADES "/usr/share/opencv4/haarcascades"

/* A stretch of a reel that some shot shows. */
typedef struct stretch {
    const tw_item *clip;
    tw_str reel;
    tw_media_want want;
    followed_note at; /* the file and its frames, as for a note */
    tw_proposal *found;
    size_t count;
    int stride;
} stretch;

typedef struct proposing {
    following *f;
    const tw_stand *stands; /* by clip index */
    stretch *at;
    size_t len, cap;
    missing gone;
    tw_look_ask look;
} proposing;

/* ---- which shots ----------------------------------------------------------------------------------------- */

static bool overlap(int64_t a_in, int64_t a_out, int64_t b_in, int64_t b_out)
{
    return a_in < b_out && b_in < a_out;
}

/* Does a note with regions speak of any of it? */
static bool spoken_of(const following *f, const stretch *s)
{
    for (size_t i = 0; i < f->p.plan->note_count; i++) {
        const tw_note *n = &f->p.plan->notes[i];
        bool named = false;
        for (size_t k = 0; k < s->want.name_count; k++)
            named = named || tw_str_glob(n->reel, s->want.names[k]);
        int64_t in = n->has_in ? n->in : INT64_MIN, out = n->has_out ? n->out : INT64_MAX;
        if (named && n->region_count > 0 && overlap(in, out, s->want.in, s->want.out))
            return true;
    }
    return false;
}

static bool had_before(const proposing *p, const stretch *s)
{
    for (size_t i = 0; i < p->len; i++)
        if (tw_str_ieq(p->at[i].reel, s->reel) && overlap(p->at[i].want.in, p->at[i].want.out, s->want.in, s->want.out))
            return true;
    return false;
}

static bool wanted(const proposing *p, const tw_source *source, tw_str reel)
{
    const char *glob = p->f->app->set.reel;
    bool camera = source != NULL && source->kind == TW_SOURCE_CAMERA && source->size.w > 0;
    return camera && reel.len > 0 && (glob == NULL || tw_str_glob(tw_str_z(glob), reel));
}

/* The file's frames of the stretch; false when none is there. */
static bool find_pictures(proposing *p, stretch *s)
{
    const library *lib = &p->f->lib;
    tw_media_match m = library_find(p->f->app, lib, &s->want);
    if (m.miss != TW_MISS_NONE) {
        missing_add(&p->gone, s->clip, &s->want, &m);
        return false;
    }
    size_t index = library_best(lib, &m, FOLLOW_WIDE);
    s->at.info = &lib->infos[index];
    s->at.first = tw_media_frame_of(&lib->files[index], &s->want, (double)s->want.in);
    s->at.count = s->want.out - s->want.in;
    s->at.start = s->want.in;
    bool even = !s->at.info->still && tw_rate_count(s->at.info->rate) == tw_rate_count(s->want.rate);
    return even && s->at.first >= 0 && s->at.count > 0;
}

static bool add_shot(void *context, const tw_track *track, const tw_item *item)
{
    proposing *p = context;
    cli *app = p->f->app;
    const tw_timeline *edit = p->f->p.edit.timeline;
    if (item->kind != TW_ITEM_CLIP || track->kind != TW_TRACK_VIDEO)
        return true;
    const tw_span body = p->stands[item->index].body;
    if (body.first == body.end)
        return true;
    stretch s = {.clip = item, .reel = tw_item_source_name(item)};
    s.want = library_want(app, edit, item, body.first, body.end - body.first);
    const tw_names names = tw_item_names(item);
    s.at.source = tw_plan_source(p->f->p.plan, names.at, names.count, names.loose);
    if (!wanted(p, s.at.source, s.reel) || spoken_of(p->f, &s) || had_before(p, &s) || !find_pictures(p, &s))
        return true;
    tw_plan_clock(p->f->p.plan, s.reel, edit->rate, edit->drop, &s.at.rate, &s.at.drop);
    s.stride = tw_rate_count(s.want.rate) / LOOKS_A_SECOND;
    s.stride = s.stride < 1 ? 1 : s.stride;
    TW_PUSH(app->arena, p->at, p->len, p->cap) = s;
    return true;
}

/* ---- looking --------------------------------------------------------------------------------------------- */

static void look_at(void *context, tw_arena *arena, tw_diags *diags, size_t index)
{
    const proposing *p = context;
    stretch *s = &p->at[index];
    tw_arena *scratch = tw_arena_like(arena);
    tw_media_reader *reader = NULL;
    const tw_media_ask ask = {.first = s->at.first, .count = s->at.count, .width = FOLLOW_WIDE};
    const tw_media_frame *frame = NULL;
    tw_look *look = NULL;
    int64_t given = 0;
    tw_status status = tw_media_open(scratch, &p->f->lib.tools, s->at.info, &ask, diags, &reader);
    while (status == TW_OK && (status = tw_media_next(reader, &frame)) == TW_OK && frame != NULL) {
        if (look == NULL) {
            look = tw_look_new(scratch, frame->width, frame->height, &p->look);
            s->at.scale = (tw_follow_scale){(double)s->at.source->size.w / frame->width,
                                            (double)s->at.source->size.h / frame->height, s->at.source->size.w,
                                            s->at.source->size.h};
        }
        if (given++ % s->stride == 0)
            tw_look_frame(look, &(tw_plane){frame->planes[0], frame->width, frame->height, (size_t)frame->width});
    }
    tw_media_close(&reader);
    if (status == TW_OK && look != NULL)
        s->count = tw_look_rank(arena, look, LOOKS_A_SECOND, &s->found);
    s->at.out.count = given;
    s->at.done = status == TW_OK;
    tw_arena_free(&scratch);
    while (s->count > 0 && s->found[s->count - 1].score < LEAST_SCORE)
        s->count--;
    s->count = s->count > MOST_PROPOSED ? MOST_PROPOSED : s->count;
}

/* A box for every frame: straight between those that were looked at. */
static tw_spot *spots_of(tw_arena *arena, const stretch *s, const tw_proposal *found)
{
    tw_spot *out = TW_NEW_N(arena, tw_spot, (size_t)s->at.out.count);
    for (int64_t i = found->first * s->stride; i <= found->last * s->stride && i < s->at.out.count; i++) {
        int64_t k = i / s->stride - found->first, next = k + (i % s->stride > 0);
        double share = (double)(i % s->stride) / s->stride;
        const tw_spot *a = &found->boxes[k], *b = &found->boxes[next];
        out[i] = tw_spot_between(a, b, share);
        out[i].sure = found->score * tw_min(a->sure, b->sure);
    }
    return out;
}

/* ---- notes ----------------------------------------------------------------------------------------------- */

static const char *const thing_of[TW_REASONS] = {"face", "person", "moving", "standing out"};

static tw_json *text_of(const stretch *s, tw_arena *arena, int64_t frame)
{
    return tw_json_new_text(arena, tw_tc_text(arena, frame, s->at.rate, s->at.drop));
}

static tw_json *region_of(tw_arena *arena, tw_str name, tw_str table)
{
    tw_json *r = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json_set_text(arena, r, "name", name);
    tw_json_set_text(arena, r, "need", TW_STR("nice"));
    tw_json_set_text(arena, r, "origin", TW_STR("detector"));
    tw_json_set_text(arena, r, "track", table);
    tw_json_set(arena, r, "track_id", tw_json_new_int(arena, 1));
    return r;
}

/* A note nobody has, and whose tables would be in nobody's way: p001 and so on. */
static tw_str free_id(const following *f, size_t *last)
{
    for (;;) {
        tw_str id = tw_arena_printf(f->app->arena, "p%03zu", ++*last);
        tw_str table = tw_arena_printf(f->app->arena, "tracks/%.*s-1.csv", TW_ARG(id));
        bool taken = access(follow_path(f, table), F_OK) == 0;
        for (size_t i = 0; i < f->p.plan->note_count; i++)
            taken = taken || tw_str_eq(f->p.plan->notes[i].id, id);
        if (!taken)
            return id;
    }
}

static void add_note(proposing *p, const stretch *s, tw_str id, tw_json *notes, tw_fileset *set)
{
    tw_arena *arena = p->f->app->arena;
    tw_json *note = tw_json_new(arena, TW_JSON_OBJECT), *regions = tw_json_new(arena, TW_JSON_ARRAY);
    tw_buf say = {.arena = arena};
    tw_buf_addz(&say, "proposed: ");
    for (size_t i = 0; i < s->count; i++) {
        tw_str name = tw_arena_printf(arena, "%s %zu", thing_of[s->found[i].reason], i + 1);
        tw_str table = tw_arena_printf(arena, "tracks/%.*s-%zu.csv", TW_ARG(id), i + 1);
        tw_buf rows = {.arena = arena};
        tw_follow_table(spots_of(arena, s, &s->found[i]), s->at.out.count, 0, &s->at.scale, &rows);
        tw_fileset_add(set, follow_path(p->f, table), tw_buf_str(&rows));
        tw_json_append(regions, region_of(arena, name, table));
        tw_buf_addf(&say, "%s%.*s: %.*s", i > 0 ? "; " : "", TW_ARG(name),
                    TW_ARG(tw_proposal_words(arena, &s->found[i])));
    }
    tw_json_set_text(arena, note, "id", id);
    tw_json_set_text(arena, note, "reel", s->reel);
    tw_json_set(arena, note, "in", text_of(s, arena, s->want.in));
    tw_json_set(arena, note, "out", text_of(s, arena, s->want.out));
    tw_json_set(arena, note, "regions", regions);
    tw_json_set_text(arena, note, "say", tw_buf_str(&say));
    tw_json_set_text(arena, note, "state", TW_STR("open"));
    tw_json_append(notes, note);
    if (put_may_tell(p->f->app, p->f->app->set.out))
        tw_buf_addf(&p->f->app->out, "%.*s %.*s: %.*s\n", TW_ARG(id), TW_ARG(s->reel), TW_ARG(tw_buf_str(&say)));
}

static exit_code put(proposing *p)
{
    following *f = p->f;
    cli *app = f->app;
    tw_json *root = tw_json_copy(app->arena, f->p.plan->doc.root);
    tw_fileset *set = tw_fileset_new(app->arena);
    plan_move(app, root, f->p.plan_path, app->set.out);
    tw_json *notes = tw_json_need(app->arena, root, "notes", TW_JSON_ARRAY);
    size_t last = 0, none = 0;
    for (size_t i = 0; i < p->len; i++) {
        if (p->at[i].count > 0)
            add_note(p, &p->at[i], free_id(f, &last), notes, set);
        none += p->at[i].count == 0;
    }
    exit_code code = follow_commit(f, set, root);
    if (code != EXIT_FINE)
        app->out.len = 0; /* nothing is proposed */
    else if (put_may_tell(app, app->set.out))
        tw_buf_addf(&app->out, "%zu stretches without a region looked at, nothing to propose in %zu\n", p->len, none);
    else if (app->set.json && !put_is_stdout(app->set.out)) {
        tw_buf_addf(&app->out, "{\"ok\": true, \"notes\": %zu, \"without\": %zu", p->len - none, none);
        tw_diag_json_end(app->diags, &app->out);
        app->told = true;
    }
    return code;
}

/* Trained cascades of the package opencv-data, or of the folder TW_CASCADES; what is not there is not looked for. */
static const tw_cascade *cascade(cli *app, const char *name)
{
    const char *folder = getenv("TW_CASCADES");
    const char *path =
        tw_arena_printf(app->arena, "%s/haarcascade_%s.xml", folder != NULL ? folder : CASCADES, name).at;
    tw_cascade *out = TW_NEW(app->arena, tw_cascade);
    tw_str bytes, why;
    if (access(path, R_OK) != 0 || tw_file_read(app->arena, path, TW_FILE_LIMIT, &bytes, &why) != TW_OK)
        return NULL;
    return tw_cascade_read(app->arena, bytes, tw_str_z(path), app->diags, out) == TW_OK ? out : NULL;
}

exit_code follow_propose(following *f)
{
    proposing p = {.f = f, .gone = {.app = f->app, .edit = f->p.edit.timeline, .lib = &f->lib}};
    p.look = (tw_look_ask){.face = cascade(f->app, "frontalface_alt2"), .body = cascade(f->app, "upperbody")};
    p.stands = tw_timeline_stands(f->app->arena, f->p.edit.timeline);
    tw_timeline_walk(f->p.edit.timeline, add_shot, &p);
    missing_tell(&p.gone);
    jobs_run(f->app, p.len, look_at, &p);
    for (size_t i = 0; i < p.len; i++)
        if (!p.at[i].at.done)
            return EXIT_IO;
    return stop_asked() ? EXIT_IO : put(&p);
}
