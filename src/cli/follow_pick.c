/* SPDX-License-Identifier: Apache-2.0
 *
 * What `follow` follows: regions with keys drawn by hand, in notes whose camera file is at hand.
 */
#include "follow.h"

/* ---- what cannot be followed ----------------------------------------------------------------------------- */

static void pass_over(const following *f, const tw_note *note, const char *why)
{
    const tw_place place = tw_json_place(&f->p.plan->doc, tw_json_get(note->json, "id"));
    tw_diag_add(f->app->diags, 2305, &place, "note %.*s: %s", TW_ARG(note->id), why);
}

static bool wanted(const following *f, const tw_note *note)
{
    const settings *set = &f->app->set;
    bool reel = set->reel == NULL || tw_str_glob(tw_str_z(set->reel), note->reel);
    return reel && (set->note == NULL || tw_str_is(note->id, set->note));
}

/* ---- the stretch of the file ----------------------------------------------------------------------------- */

typedef struct looking {
    const following *f;
    const tw_note *note;
    tw_media_want *want;
} looking;

/* Where a file has no time code, a clip of the reel may say with which source frame it begins. */
static bool find_base(void *context, const tw_track *track, const tw_item *item)
{
    looking *l = context;
    (void)track;
    if (item->kind != TW_ITEM_CLIP || l->want->has_base || !tw_str_ieq(tw_item_source_name(item), l->note->reel))
        return true;
    tw_media_want clip = library_want(l->f->app, l->f->p.edit.timeline, item, 0, 1);
    l->want->has_base = clip.has_base;
    l->want->base = clip.base;
    return true;
}

/* Cuts the note's stretch down to what the file holds. */
static bool lay_out(followed_note *n, const tw_media_file *file, int64_t in, int64_t out)
{
    n->first = in;
    n->count = out - in;
    n->before = 0;
    if (n->first < 0) {
        n->before = -n->first;
        n->count += n->first;
        n->first = 0;
    }
    if (file->frames > 0 && n->first + n->count > file->frames)
        n->count = file->frames - n->first;
    n->start = n->note->in + n->before;
    return n->count > 0;
}

static void tell_no_file(following *f, const tw_note *note, const tw_media_match *m)
{
    tw_arena *arena = f->app->arena;
    bool none = m->near == TW_MEDIA_NONE;
    tw_str why =
        none ? tw_arena_printf(arena, "no camera file is called %.*s", TW_ARG(note->reel))
             : tw_arena_printf(arena, "%.*s does not hold the note's stretch", TW_ARG(f->lib.files[m->near].path));
    pass_over(f, note, why.at);
}

static bool find_file(following *f, followed_note *n)
{
    const tw_note *note = n->note;
    tw_media_want want = {.names = &note->reel, .name_count = 1, .in = note->in, .out = note->out, .rate = n->rate};
    tw_timeline_walk(f->p.edit.timeline, find_base, &(looking){f, note, &want});
    tw_media_match m = library_find(f->app, &f->lib, &want);
    if (m.miss != TW_MISS_NONE) {
        tell_no_file(f, note, &m);
        return false;
    }
    size_t index = library_best(&f->lib, &m, FOLLOW_WIDE);
    const tw_media_file *file = &f->lib.files[index];
    n->info = &f->lib.infos[index];
    if (n->info->still || tw_rate_count(n->info->rate) != tw_rate_count(n->rate)) {
        pass_over(f, note, n->info->still ? "a still has nothing to follow" : "its file has another frame rate");
        return false;
    }
    bool fine = lay_out(n, file, tw_media_frame_of(file, &want, (double)note->in),
                        tw_media_frame_of(file, &want, (double)note->out));
    if (!fine)
        tell_no_file(f, note, &m);
    return fine;
}

/* ---- regions --------------------------------------------------------------------------------------------- */

/* How many regions of the plan, and other notes for their camera's movement, name a table. */
static size_t uses_of(const tw_plan *plan, const tw_note *note, tw_str name)
{
    size_t uses = 0;
    for (size_t i = 0; i < plan->note_count; i++) {
        uses += &plan->notes[i] != note && tw_str_eq(plan->notes[i].movement, name);
        for (size_t r = 0; r < plan->notes[i].region_count; r++)
            uses += tw_str_eq(plan->notes[i].regions[r].track, name);
    }
    return uses;
}

static bool is_written(const followed_note *n, tw_str name)
{
    bool written = n->motion != NULL && tw_str_is(name, n->motion);
    for (size_t r = 0; r < n->region_count; r++)
        written = written || tw_str_eq(n->regions[r].name, name);
    return written;
}

static bool is_taken(const following *f, const followed_note *n, tw_str name)
{
    bool taken = uses_of(f->p.plan, n->note, name) > 0 || is_written(n, name);
    for (size_t i = 0; i < f->count; i++)
        taken = taken || is_written(&f->notes[i], name);
    return taken;
}

/* NOTE-REGION, with what is no letter or digit as '-'. */
static tw_str file_name(cli *app, tw_str note, tw_str region, const char *ending)
{
    tw_str name = tw_arena_printf(app->arena, "%.*s%s%.*s", TW_ARG(note), region.len > 0 ? "-" : "", TW_ARG(region));
    char *at = tw_arena_dupz(app->arena, name);
    for (char *c = at; *c != '\0'; c++) {
        bool plain = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || (*c >= '0' && *c <= '9');
        *c = plain || *c == '_' ? *c : '-';
    }
    return tw_arena_printf(app->arena, "tracks/%s%s", at, ending);
}

/* "a b" and "a-b" would be one: the second is n1-a-b-2.csv. */
static tw_str table_name(const following *f, const followed_note *n, tw_str region, const char *ending)
{
    tw_str name = file_name(f->app, n->note->id, region, ending);
    for (size_t i = 2; is_taken(f, n, name); i++)
        name = file_name(f->app, n->note->id, region, tw_arena_printf(f->app->arena, "-%zu%s", i, ending).at);
    return name;
}

/* A table made anew holds one subject, as number 1, and lies in tracks/: one that holds others too, or lies elsewhere,
 * is left as it is. */
static bool in_place(const following *f, const tw_region *r)
{
    static const tw_str folder = {"tracks/", 7};
    return tw_str_starts(r->track, folder) && tw_str_basename(r->track).len == r->track.len - folder.len &&
           uses_of(f->p.plan, NULL, r->track) == 1 && (!r->has_track_id || r->track_id == 1);
}

/* A table somebody else made is left alone. */
static bool to_follow(const following *f, const tw_region *r)
{
    if (r->hand_count == 0)
        return false;
    if (r->track.len > 0 && !r->detector) {
        const tw_place place = tw_json_place(&f->p.plan->doc, r->json);
        tw_diag_add(f->app->diags, 2305, &place, "the region \"%.*s\" has a track that is not a detector's: left alone",
                    TW_ARG(r->name));
        return false;
    }
    return true;
}

static void pick_regions(following *f, followed_note *n)
{
    n->regions = TW_NEW_N(f->app->arena, followed_region, n->note->region_count);
    for (size_t r = 0; r < n->note->region_count; r++) {
        const tw_region *region = &n->note->regions[r];
        if (!to_follow(f, region))
            continue;
        tw_str name = in_place(f, region) ? region->track : table_name(f, n, region->name, ".csv");
        n->regions[n->region_count++] = (followed_region){region, r, name};
    }
}

/* ---- notes ----------------------------------------------------------------------------------------------- */

static bool pick(following *f, const tw_note *note, followed_note *n)
{
    const tw_timeline *edit = f->p.edit.timeline;
    *n = (followed_note){.note = note, .source = tw_plan_source(f->p.plan, &note->reel, 1, 1)};
    tw_plan_clock(f->p.plan, note->reel, edit->rate, edit->drop, &n->rate, &n->drop);
    pick_regions(f, n);
    if (n->region_count == 0)
        return false;
    if (!note->has_in || !note->has_out) {
        pass_over(f, note, "it has no \"in\" and \"out\" that say which stretch to follow");
        return false;
    }
    if (n->source == NULL || n->source->size.w <= 0) {
        pass_over(f, note, "the size of its reel is not known: tables hold pixels of the source");
        return false;
    }
    return find_file(f, n);
}

exit_code follow_pick(following *f)
{
    const tw_plan *plan = f->p.plan;
    f->notes = TW_NEW_N(f->app->arena, followed_note, plan->note_count);
    for (size_t i = 0; i < plan->note_count; i++) {
        if (!wanted(f, &plan->notes[i]) || !pick(f, &plan->notes[i], &f->notes[f->count]))
            continue;
        followed_note *n = &f->notes[f->count];
        n->motion = table_name(f, n, TW_STR(""), ".motion.csv").at;
        f->count++;
        f->frames += n->count;
    }
    return EXIT_FINE;
}
