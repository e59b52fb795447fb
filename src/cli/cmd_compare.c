/* SPDX-License-Identifier: Apache-2.0
 *
 * What changed between two edits, two derived timelines, or two plans.
 */
#include "cmd.h"
#include "project.h"

static exit_code compare_plans(cli *app, const tw_str bytes[2])
{
    tw_json_doc docs[2];
    for (int i = 0; i < 2; i++) {
        exit_code code = load_tree(app, app->args[i], bytes[i], &docs[i]);
        if (code != EXIT_FINE)
            return code;
    }
    tw_plan_change *changes;
    size_t count = tw_recut_compare_plans(app->arena, docs[0].root, docs[1].root, &changes);
    app->told = app->set.json;
    if (app->set.json)
        tw_recut_json_plans(changes, count, app->diags, &app->out);
    else if (!app->set.quiet)
        tw_recut_say_plans(changes, count, &app->out);
    return count == 0 ? EXIT_FINE : EXIT_FINDINGS;
}

static exit_code compare_edits(cli *app, const tw_str bytes[2])
{
    const tw_read_options options = load_options(app);
    loaded edits[2];
    for (int i = 0; i < 2; i++) {
        exit_code code = load_edit_text(app, app->args[i], bytes[i], &options, &edits[i]);
        if (code != EXIT_FINE)
            return code;
    }
    const tw_comparison *c = tw_recut_compare(app->arena, edits[0].timeline, edits[1].timeline, TW_RECUT_SLACK);
    app->told = app->set.json;
    if (app->set.json)
        tw_recut_json(c, app->diags, &app->out);
    else if (!app->set.quiet) {
        tw_buf lines = {.arena = app->arena};
        tw_recut_say(c, app->set.verbose, &lines);
        say_lines(tw_buf_str(&lines), CHANGE_COLUMN, say_width(), &app->out);
    }
    return c->same ? EXIT_FINE : EXIT_FINDINGS;
}

exit_code cmd_compare(cli *app)
{
    tw_str bytes[2];
    for (int i = 0; i < 2; i++) {
        exit_code code = load_bytes(app, app->args[i], &bytes[i]);
        if (code != EXIT_FINE)
            return code;
    }
    bool plan = is_plan(bytes[0]);
    if (plan != is_plan(bytes[1])) {
        say_error("%s is a plan and %s is none: there is nothing to compare", app->args[!plan], app->args[plan]);
        return EXIT_INPUT;
    }
    return plan ? compare_plans(app, bytes) : compare_edits(app, bytes);
}
