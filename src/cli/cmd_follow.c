/* SPDX-License-Identifier: Apache-2.0
 *
 * Boxes drawn in a few frames become boxes in all frames of their notes, from the camera files.
 */
#include "cmd.h"
#include "follow.h"

exit_code cmd_follow(cli *app)
{
    following f = {.app = app};
    exit_code code = load_project(app, app->args[0], &f.p);
    if (code == EXIT_FINE && app->set.note != NULL && tw_plan_note(f.p.plan, tw_str_z(app->set.note)) == NULL) {
        say_error("the plan has no note %s", app->set.note);
        return EXIT_USAGE;
    }
    if (code == EXIT_FINE)
        code = may_stand(app, app->set.out, true);
    if (code == EXIT_FINE)
        code = library_load(app, &f.p, f.p.edit.timeline, &f.lib);
    if (code != EXIT_FINE)
        return code;
    if (f.lib.count == 0) {
        missing_all(app, &f.lib);
        return EXIT_FINDINGS;
    }
    if (app->set.propose)
        return follow_propose(&f);
    code = follow_pick(&f);
    if (code != EXIT_FINE)
        return code;
    if (f.count == 0) {
        tw_diag_add(app->diags, 2301, NULL, "no note wanted has a region with keys drawn by hand that can be followed");
        return EXIT_FINDINGS;
    }
    code = follow_run(&f);
    if (code != EXIT_FINE)
        return code;
    follow_tell(&f);
    return follow_put(&f);
}
