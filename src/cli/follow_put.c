/* SPDX-License-Identifier: Apache-2.0
 *
 * What was followed, as tables beside the plan and members in it.
 */
#include "follow.h"

#include <sys/stat.h>

#define SHOWN 3 /* stretches named one by one */

/* ---- words ----------------------------------------------------------------------------------------------- */

static const char *time_of(const following *f, const followed_note *n, int64_t frame)
{
    return tw_tc_text(f->app->arena, n->start + frame, n->rate, n->drop).at;
}

/* The next stretch from *at on in which the subject is not seen; false when there is none. */
static bool next_lost(const followed_note *n, const tw_spot *spots, int64_t *at, int64_t *end)
{
    while (*at < n->out.count && spots[*at].sure > 0)
        ++*at;
    *end = *at;
    while (*end < n->out.count && !(spots[*end].sure > 0))
        ++*end;
    return *end > *at;
}

static void tell_lost(const following *f, const followed_note *n, size_t r, const tw_place *place)
{
    const tw_spot *spots = n->subjects[r].spots;
    tw_buf text = {.arena = f->app->arena};
    size_t count = 0;
    for (int64_t at = 0, end; next_lost(n, spots, &at, &end); at = end) {
        if (count++ >= SHOWN)
            continue;
        tw_buf_addf(&text, "%s%s to %s", count > 1 ? ", " : "", time_of(f, n, at), time_of(f, n, end));
    }
    if (count > SHOWN)
        tw_buf_addf(&text, " and in %zu more stretches", count - SHOWN);
    if (count > 0)
        tw_diag_add(f->app->diags, 2302, place, "note %.*s, %.*s: not seen from %.*s", TW_ARG(n->note->id),
                    TW_ARG(n->regions[r].region->name), TW_ARG(tw_buf_str(&text)));
}

static void tell_seams(const following *f, const followed_note *n, size_t r, const tw_place *place)
{
    const tw_follow_subject *s = &n->subjects[r];
    for (size_t i = 0; i < s->seam_count; i++) {
        tw_diag_add(f->app->diags, 2303, place,
                    "note %.*s, %.*s: from %s on the way from the key before and the way back from the key after lie "
                    "apart, in %lld frames",
                    TW_ARG(n->note->id), TW_ARG(n->regions[r].region->name), time_of(f, n, s->seams[i].first),
                    (long long)s->seams[i].frames);
    }
}

static void tell_cuts(const following *f, const followed_note *n)
{
    for (int64_t i = 0; i < n->out.count; i++)
        if (n->out.cuts[i])
            tw_diag_add(f->app->diags, 2304, TW_IN(n->info->path), "holds a cut at %s: nothing is followed across it",
                        time_of(f, n, i));
}

void follow_tell(following *f)
{
    for (size_t i = 0; i < f->count; i++) {
        const followed_note *n = &f->notes[i];
        tell_cuts(f, n);
        for (size_t r = 0; r < n->region_count; r++) {
            const tw_place place = tw_json_place(&f->p.plan->doc, n->regions[r].region->json);
            tell_lost(f, n, r, &place);
            tell_seams(f, n, r, &place);
        }
    }
}

/* ---- the table of what came of it ------------------------------------------------------------------------ */

typedef struct sum {
    int64_t seen, there;
    double sure; /* mean over what is seen */
} sum;

static sum sum_up(const followed_note *n, size_t r)
{
    sum s = {0, 0, 0};
    for (int64_t i = 0; i < n->out.count; i++) {
        const tw_spot *spot = &n->subjects[r].spots[i];
        s.seen += spot->sure > 0;
        s.there += spot->width > 0;
        s.sure += spot->sure;
    }
    s.sure = s.seen > 0 ? s.sure / (double)s.seen : 0;
    return s;
}

static void add_row(const followed_note *n, size_t r, tw_buf *out)
{
    sum s = sum_up(n, r);
    say_field(n->note->id, 10, out);
    tw_buf_addc(out, ' ');
    say_field(n->regions[r].region->name, 18, out);
    tw_buf_addf(out, " %7lld %7lld   ", (long long)n->out.count, (long long)s.seen);
    tw_buf_add_fixed(out, s.sure, 2);
    tw_buf_addf(out, "  %.*s\n", TW_ARG(n->regions[r].name));
}

static void add_table(const following *f, tw_buf *out)
{
    tw_buf_addz(out, "note       region              frames    seen   sure  table\n");
    for (size_t i = 0; i < f->count; i++)
        for (size_t r = 0; r < f->notes[i].region_count; r++)
            add_row(&f->notes[i], r, out);
}

static void add_json(const following *f, tw_buf *out)
{
    tw_buf_addz(out, "{\"ok\": true, \"regions\": [");
    for (size_t i = 0; i < f->count; i++)
        for (size_t r = 0; r < f->notes[i].region_count; r++) {
            const followed_note *n = &f->notes[i];
            sum s = sum_up(n, r);
            tw_diag_json_next("\n  {", out);
            tw_diag_json_text("note", n->note->id, out);
            tw_diag_json_text("region", n->regions[r].region->name, out);
            tw_buf_addf(out,
                        ", \"frames\": %lld, \"seen\": %lld, \"bridged\": %lld, \"sure\": ", (long long)n->out.count,
                        (long long)s.seen, (long long)(s.there - s.seen));
            tw_buf_add_fixed(out, s.sure, 3);
            tw_diag_json_count("apart", (int64_t)n->subjects[r].seam_count, out);
            tw_diag_json_text("table", n->regions[r].name, out);
            tw_buf_addc(out, '}');
        }
    tw_buf_addz(out, "],\n ");
    tw_diag_json_end(f->app->diags, out);
    f->app->told = true;
}

/* ---- the plan -------------------------------------------------------------------------------------------- */

static tw_json *child_at(const tw_json *list, size_t index)
{
    tw_json *c = tw_json_first(list);
    while (c != NULL && (c->kind != TW_JSON_OBJECT || index > 0)) {
        index -= c->kind == TW_JSON_OBJECT;
        c = c->next;
    }
    return c;
}

/* Hand keys stay as they are; the table stands beside them. */
static void point_at(tw_arena *arena, const tw_json *note, const followed_region *r)
{
    tw_json *region = child_at(tw_json_get(note, "regions"), r->index);
    const tw_json *start = tw_json_get(region, "track_start");
    tw_json_set_text(arena, region, "origin", TW_STR("detector"));
    tw_json_set_text(arena, region, "track", r->name);
    tw_json_set(arena, region, "track_id", tw_json_new_int(arena, 1));
    if (start != NULL)
        tw_json_remove(region, start);
}

static tw_json *new_plan(const following *f)
{
    cli *app = f->app;
    tw_json *root = tw_json_copy(app->arena, f->p.plan->doc.root);
    plan_move(app, root, f->p.plan_path, app->set.out);
    for (size_t i = 0; i < f->count; i++) {
        tw_json *note = tw_plan_note_json(root, f->notes[i].note->id);
        if (tw_json_get(note, "movement") == NULL)
            tw_json_set_text(app->arena, note, "movement", tw_str_z(f->notes[i].motion));
        for (size_t r = 0; r < f->notes[i].region_count; r++)
            point_at(app->arena, note, &f->notes[i].regions[r]);
    }
    return root;
}

/* ---- files ----------------------------------------------------------------------------------------------- */

const char *follow_path(const following *f, tw_str name)
{
    const char *beside = put_is_stdout(f->app->set.out) ? f->p.plan_path : f->app->set.out;
    return tw_arena_printf(f->app->arena, "%.*s%.*s", TW_ARG(tw_str_folder(tw_str_z(beside))), TW_ARG(name)).at;
}

/* A file of that name which the plan does not know as a detector's may be somebody's work; the same bytes are what a
 * killed run has left, before it came to the plan. */
static bool in_the_way(const following *f, const tw_json *owner, const char *member, tw_str named, tw_str name,
                       tw_str text)
{
    struct stat there;
    tw_str bytes, why;
    const char *path = follow_path(f, name);
    if (stat(path, &there) != 0 || tw_str_eq(named, name) ||
        (tw_file_read(f->app->arena, path, text.len, &bytes, &why) == TW_OK && tw_str_eq(bytes, text)))
        return false;
    const tw_place place = tw_json_place(&f->p.plan->doc, owner);
    tw_diag_add(f->app->diags, 2306, &place, "there is a %s already, and the plan does not name it", path);
    tw_diag_hint(f->app->diags, "move it away if it may be made anew, or name it as \"%s\" here", member);
    return true;
}

static exit_code add_tables(const following *f, tw_fileset *set)
{
    exit_code code = EXIT_FINE;
    for (size_t i = 0; i < f->count; i++) {
        const followed_note *n = &f->notes[i];
        for (size_t r = 0; r < n->region_count; r++) {
            const followed_region *one = &n->regions[r];
            tw_buf text = {.arena = f->app->arena};
            tw_follow_table(n->subjects[r].spots, n->out.count, n->before, &n->scale, &text);
            tw_fileset_add(set, follow_path(f, one->name), tw_buf_str(&text));
            if (in_the_way(f, one->region->json, "track", one->region->track, one->name, tw_buf_str(&text)))
                code = EXIT_INPUT;
        }
        tw_buf motion = {.arena = f->app->arena};
        tw_follow_motion(n->out.cameras, n->out.count, n->before, &n->scale, &motion);
        tw_str name = tw_str_z(n->motion), movement = tw_buf_str(&motion);
        tw_fileset_add(set, follow_path(f, name), movement);
        if (in_the_way(f, n->note->json, "movement", n->note->movement, name, movement))
            code = EXIT_INPUT;
    }
    return code;
}

exit_code follow_commit(following *f, tw_fileset *set, tw_json *root)
{
    cli *app = f->app;
    tw_str text = plan_text(app, root, f->p.plan->doc.bytes), why;
    if (!put_is_stdout(app->set.out))
        tw_fileset_add(set, app->set.out, text);
    if (tw_fileset_begin(set, follow_path(f, TW_STR("tracks")), &why) != TW_OK) {
        tw_fileset_drop(set);
        say_failed(app, why);
        return EXIT_IO;
    }
    exit_code code = put_files(app, set);
    if (code == EXIT_FINE && put_is_stdout(app->set.out))
        tw_buf_add(&app->out, text);
    return code;
}

exit_code follow_put(following *f)
{
    cli *app = f->app;
    tw_fileset *set = tw_fileset_new(app->arena);
    exit_code code = add_tables(f, set);
    if (code == EXIT_FINE)
        code = follow_commit(f, set, new_plan(f));
    if (code != EXIT_FINE || put_is_stdout(app->set.out))
        return code;
    if (app->set.json)
        add_json(f, &app->out);
    else if (!app->set.quiet)
        add_table(f, &app->out);
    return code;
}
