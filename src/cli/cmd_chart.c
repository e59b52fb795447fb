/* SPDX-License-Identifier: Apache-2.0
 *
 * Before the shoot: what a picture holds for each shape.
 */
#include "cmd.h"
#include "project.h"

static bool fill_ask(cli *app, tw_chart_ask *ask)
{
    const settings *set = &app->set;
    tw_chart_picture *shapes = TW_NEW_N(app->arena, tw_chart_picture, app->arg_count);
    for (size_t i = 0; i < app->arg_count; i++) {
        named_size shape;
        if (!opt_size(app->args[i], &shape))
            return false;
        shapes[i] = (tw_chart_picture){shape.name, shape.size};
    }
    tw_chart_picture *modes = TW_NEW_N(app->arena, tw_chart_picture, set->sources.len);
    for (size_t i = 0; i < set->sources.len; i++)
        modes[i] = (tw_chart_picture){set->sources.at[i].name, set->sources.at[i].size};
    *ask = (tw_chart_ask){
        .modes = modes,
        .mode_count = set->sources.len,
        .shapes = shapes,
        .shape_count = app->arg_count,
        .squeeze = set->squeeze,
        .max_scale = set->max_scale,
    };
    if (set->sources.len == 0) {
        say_error("`chart` needs --source WxH, the size the camera records; repeat it for several recording modes");
        return false;
    }
    if (set->monitor != NULL && !tw_size_read(tw_str_z(set->monitor), &ask->monitor)) {
        say_error("--monitor takes a size such as 3840x2160, not \"%s\"", set->monitor);
        return false;
    }
    ask->safe = set->safe != NULL ? tw_safe_find(tw_str_z(set->safe)) : NULL;
    if (set->safe != NULL && ask->safe == NULL)
        say_error("--safe takes st2046-1 or ebu-r95, not \"%s\"", set->safe);
    return set->safe == NULL || ask->safe != NULL;
}

exit_code cmd_chart(cli *app)
{
    tw_chart_ask ask;
    if (!fill_ask(app, &ask) || may_stand(app, app->set.out, false) != EXIT_FINE)
        return EXIT_USAGE;
    const tw_chart *chart = tw_chart_make(app->arena, &ask);
    const char *path = app->set.out;
    tw_buf text = {.arena = app->arena};
    if (tw_str_iends(tw_str_z(path), TW_STR(".svg")))
        tw_chart_svg(chart, &text);
    else if (app->set.json || tw_str_iends(tw_str_z(path), TW_STR(".json")))
        tw_chart_json(chart, &text);
    else
        tw_chart_text(chart, &text);
    return put_text(app, path, tw_buf_str(&text), NULL, 0);
}
