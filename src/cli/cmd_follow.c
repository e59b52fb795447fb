/* SPDX-License-Identifier: Apache-2.0
 *
 * Boxes drawn in a few frames become boxes in all frames of their notes, from the camera files.
 */
#include "follow.h"

#include <string.h>

/* A name nobody has is a slip. */
static exit_code check_note(const following *f)
{
    const char *id = f->app->set.note;
    for (size_t i = 0; id != NULL && i < f->p.plan->note_count; i++)
        if (tw_str_is(f->p.plan->notes[i].id, id))
            return EXIT_FINE;
    if (id != NULL)
        say_error("the plan has no note %s", id);
    return id != NULL ? EXIT_USAGE : EXIT_FINE;
}

exit_code cmd_follow(cli *app)
{
    following f = {.app = app};
    exit_code code = load_project(app, app->args[0], &f.p);
    if (code == EXIT_FINE)
        code = check_note(&f);
    if (code == EXIT_FINE)
        code = library_load(app, &f.p, f.p.edit.timeline, &f.lib);
    if (code != EXIT_FINE)
        return code;
    if (f.lib.count == 0) {
        tw_diag_add(app->diags, 2113, NULL, "there are no camera files: the plan names none, and --media %s",
                    app->set.media.len > 0 ? "found none" : "was not given");
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
