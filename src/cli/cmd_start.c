/* SPDX-License-Identifier: Apache-2.0 */
#include "cmd.h"
#include "start_media.h"

#include <stdlib.h>
#include <string.h>

typedef struct reel_list {
    cli *app;
    tw_str *at;
    size_t len, cap;
    const tw_stand *stands; /* by clip */
    tw_track_kind kind;     /* of the tracks looked at */
    size_t clips;           /* of them, named or not */
} reel_list;

static bool add_reel(void *context, const tw_track *track, const tw_item *item)
{
    reel_list *list = context;
    if (item->kind != TW_ITEM_CLIP || track->kind != list->kind)
        return true;
    const tw_span shown = list->stands[item->index].shown;
    if (shown.first == shown.end)
        return true;
    list->clips++;
    tw_str name = tw_item_source_name(item);
    if (name.len == 0 || tw_item_is_black(item))
        return true;
    TW_PUSH(list->app->arena, list->at, list->len, list->cap) = name;
    return true;
}

/* A size without a reel is that of all others, wherever it stands among the options. */
static const named_size *size_of_others(const cli *app)
{
    for (size_t i = 0; i < app->set.sources.len; i++)
        if (app->set.sources.at[i].name.len == 0)
            return &app->set.sources.at[i];
    return NULL;
}

/* The reel's own, else the first pattern's that is for it. */
static const named_size *size_of(const cli *app, tw_str reel)
{
    const named_sizes *given = &app->set.sources;
    for (size_t i = 0; i < given->len; i++)
        if (tw_str_ieq(given->at[i].name, reel))
            return &given->at[i];
    for (size_t i = 0; i < given->len; i++)
        if (tw_str_glob(given->at[i].name, reel))
            return &given->at[i];
    return size_of_others(app);
}

/* Its rate is known where its frames are counted otherwise than those of the record. */
static tw_source source_named(const cli *app, const tw_timeline *edit, const tw_plan *clocks, tw_str reel)
{
    const named_size *given = size_of(app, reel);
    tw_source s = {.reel = reel, .squeeze = 1, .size = given != NULL ? given->size : (tw_size){0, 0}};
    tw_plan_clock(clocks, reel, edit->rate, edit->drop, &s.rate, &s.drop);
    if (tw_rate_eq(s.rate, edit->rate) && s.drop == edit->drop)
        s.rate = (tw_rate){0, 0};
    return s;
}

/* Without files a pattern's line says all there is to say of reels that count as most of its do, and is the one to
 * change. given: the sources that the options speak of. */
static bool said_by_pattern(const cli *app, const tw_source *given, const tw_source *source)
{
    const named_size *size = size_of(app, source->reel);
    if (app->set.media.len > 0 || size == NULL || !tw_str_has_wildcard(size->name))
        return false;
    const tw_source *pattern = &given[size - app->set.sources.at];
    return tw_rate_eq(pattern->rate, source->rate) && pattern->drop == source->drop;
}

static reel_list reels_of(cli *app, const tw_timeline *timeline, tw_track_kind kind)
{
    reel_list reels = {.app = app, .kind = kind, .stands = tw_timeline_stands(app->arena, timeline)};
    tw_timeline_walk(timeline, add_reel, &reels);
    TW_SORT(reels.at, reels.len, tw_str_order);
    size_t kept = 0;
    for (size_t i = 0; i < reels.len; i++)
        if (i == 0 || !tw_str_eq(reels.at[i], reels.at[kept - 1]))
            reels.at[kept++] = reels.at[i];
    reels.len = kept;
    return reels;
}

static bool has_source(const tw_source *sources, size_t count, tw_str reel)
{
    for (size_t i = 0; i < count; i++)
        if (tw_str_glob(sources[i].reel, reel))
            return true;
    return false;
}

/* Those that name no reel found, patterns behind them, that of all others last. */
static size_t add_patterns(const cli *app, const tw_source *sources, tw_source *out, size_t count)
{
    size_t named = count;
    for (size_t i = 0; i < 2 * app->set.sources.len; i++) {
        const named_size *given = &app->set.sources.at[i % app->set.sources.len];
        bool there = given->name.len == 0 || tw_str_has_wildcard(given->name) != (i >= app->set.sources.len);
        for (size_t k = 0; k < named && !there; k++)
            there = tw_str_ieq(out[k].reel, given->name);
        if (!there)
            out[count++] = sources[i % app->set.sources.len];
    }
    const named_size *others = size_of_others(app);
    if (others != NULL)
        out[count++] = (tw_source){.reel = TW_STR("*"), .size = others->size, .squeeze = 1};
    return count;
}

/* A slip of the pen, or reels that a later cut brings. */
static void tell_unmet(cli *app, const reel_list *reels)
{
    for (size_t i = 0; i < app->set.sources.len; i++) {
        tw_str name = app->set.sources.at[i].name;
        bool met = name.len == 0;
        for (size_t k = 0; k < reels->len && !met; k++)
            met = tw_str_glob(name, reels->at[k]);
        if (!met)
            tw_diag_add(app->diags, 1908, NULL, "--source %.*s: no reel of this edit is called so; it is kept",
                        TW_ARG(name));
    }
}

/* Every reel found that no pattern is for, by name, then the patterns, then what is only heard, for which files may be
 * found. */
static size_t make_sources(cli *app, const tw_timeline *timeline, tw_source **out, size_t *clips, size_t *seen)
{
    const reel_list reels = reels_of(app, timeline, TW_TRACK_VIDEO);
    reel_list heard = {.len = 0};
    if (app->set.media.len > 0)
        heard = reels_of(app, timeline, TW_TRACK_AUDIO);
    *clips = reels.clips;
    *out = TW_NEW_N(app->arena, tw_source, reels.len + app->set.sources.len + heard.len);
    size_t count = 0;
    tw_plan clocks = {.notes = NULL};
    tw_derive_clocks(app->arena, timeline, &clocks);
    tell_unmet(app, &reels);
    tw_source *given = TW_NEW_N(app->arena, tw_source, app->set.sources.len);
    for (size_t i = 0; i < app->set.sources.len; i++)
        given[i] = source_named(app, timeline, &clocks, app->set.sources.at[i].name);
    for (size_t i = 0; i < reels.len; i++) {
        (*out)[count] = source_named(app, timeline, &clocks, reels.at[i]);
        count += !said_by_pattern(app, given, &(*out)[count]);
    }
    count = add_patterns(app, given, *out, count);
    *seen = count;
    for (size_t i = 0; i < heard.len; i++)
        if (!has_source(*out, *seen, heard.at[i]))
            (*out)[count++] = (tw_source){.reel = heard.at[i], .squeeze = 1};
    return count;
}

/* Without files of which there is nothing to say of what is only heard. */
static size_t with_files(tw_source *sources, size_t seen, size_t count)
{
    size_t kept = seen;
    for (size_t i = seen; i < count; i++)
        if (sources[i].media_count > 0)
            sources[kept++] = sources[i];
    return kept;
}

static void report_unknown(cli *app, const tw_source *sources, size_t count)
{
    size_t unknown = 0;
    const tw_source *first = NULL;
    for (size_t i = 0; i < count; i++)
        if (sources[i].size.w == 0)
            first = unknown++ == 0 ? &sources[i] : first;
    if (first == NULL)
        return;
    tw_diag_add(app->diags, 1903, NULL, "%zu source%s no size yet, \"%.*s\" first: fill in \"size\" before `fork`",
                unknown, unknown == 1 ? " has" : "s have", TW_ARG(first->reel));
}

/* Without a name it is called by its size. */
static tw_delivery delivery_of(cli *app, const named_size *given)
{
    tw_delivery d = {.name = given->name, .size = given->size, .max_scale = 1};
    if (d.name.len == 0)
        d.name = tw_arena_printf(app->arena, "%dx%d", d.size.w, d.size.h);
    return d;
}

/* The first of the sizes whose name another before it has; SIZE_MAX: none. */
static size_t first_again(const named_sizes *sizes)
{
    for (size_t i = 1; i < sizes->len; i++)
        for (size_t k = 0; k < i; k++)
            if (tw_str_ieq(sizes->at[i].name, sizes->at[k].name))
                return i;
    return SIZE_MAX;
}

static bool each_once(cli *app)
{
    named_sizes deliveries = {.len = app->set.deliveries.len};
    deliveries.at = TW_NEW_N(app->arena, named_size, deliveries.len);
    for (size_t i = 0; i < deliveries.len; i++)
        deliveries.at[i].name = delivery_of(app, &app->set.deliveries.at[i]).name;
    for (size_t i = 0; i < deliveries.len; i++) {
        if (tw_plan_is_name(deliveries.at[i].name))
            continue;
        say_error("-d %.*s: a delivery's name becomes part of file names: write letters, digits, '-' and '_' only",
                  TW_ARG(deliveries.at[i].name));
        return false;
    }
    size_t again = first_again(&deliveries);
    if (again != SIZE_MAX) {
        say_error("two deliveries are called \"%.*s\": their files would be, too", TW_ARG(deliveries.at[again].name));
        return false;
    }
    again = first_again(&app->set.sources);
    if (again == SIZE_MAX)
        return true;
    tw_str name = app->set.sources.at[again].name;
    if (name.len > 0)
        say_error("--source %.*s is given twice: one size is enough", TW_ARG(name));
    else
        say_error("--source without a reel is the size of all others, so it is given once; name the reels of one, as in"
                  " 'B0*=%dx%d'",
                  app->set.sources.at[again].size.w, app->set.sources.at[again].size.h);
    return false;
}

/* A plan may hold the work of days. */
static bool is_free(const char *path)
{
    if (!put_replaces(path))
        return true;
    say_error("%s is there already, and `start` writes over nothing; choose another name for -o", path);
    return false;
}

exit_code cmd_start(cli *app)
{
    if (app->set.deliveries.len == 0) {
        say_error("`start` needs at least one delivery, such as -d tall=1080x1920");
        return EXIT_USAGE;
    }
    if (!each_once(app) || !is_free(app->set.out) || !has_name(app, app->args[0]))
        return EXIT_USAGE;
    const tw_read_options options = load_options(app);
    loaded edit;
    exit_code code = load_edit(app, app->args[0], &options, &edit);
    if (code != EXIT_FINE)
        return code;
    tw_starter starter = {
        .edit_file = name_relative(app->arena, app->set.out, app->args[0]),
        .timeline = options.timeline,
        .rate = edit.timeline->rate,
        .drop = edit.timeline->drop,
        .delivery_count = app->set.deliveries.len,
    };
    tw_delivery *deliveries = TW_NEW_N(app->arena, tw_delivery, starter.delivery_count);
    for (size_t i = 0; i < starter.delivery_count; i++)
        deliveries[i] = delivery_of(app, &app->set.deliveries.at[i]);
    tw_source *sources;
    size_t clips, seen;
    starter.source_count = make_sources(app, edit.timeline, &sources, &clips, &seen);
    starter.deliveries = deliveries;
    starter.sources = sources;
    if (clips == 0) {
        tw_diag_add(app->diags, 1901, NULL, "%s has no picture clips: there is nothing to frame", app->args[0]);
        return EXIT_INPUT;
    }
    if (app->set.media.len > 0)
        code = start_media(app, edit.timeline, sources, starter.source_count);
    if (code != EXIT_FINE)
        return code;
    starter.source_count = with_files(sources, seen, starter.source_count);
    report_unknown(app, sources, seen);
    tw_buf text = {.arena = app->arena};
    tw_plan_start(app->arena, &starter, &text);
    code = put_text(app, app->set.out, tw_buf_str(&text), app->args, 1);
    if (code == EXIT_FINE && put_may_tell(app, app->set.out))
        tw_buf_addf(&app->out, "wrote %s; now come notes (`tallwide help plan`) and `tallwide fork`\n", app->set.out);
    return code;
}
