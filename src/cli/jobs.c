/* SPDX-License-Identifier: Apache-2.0 */
#include "media.h"

typedef struct jobs {
    job_fn fn;
    void *context;
    tw_diags **found; /* by piece */
} jobs;

static void do_one(void *context, tw_arena *arena, size_t index, bool here)
{
    const jobs *j = context;
    (void)here;
    if (stop_asked())
        return;
    j->found[index] = tw_diags_new(arena);
    j->fn(j->context, arena, j->found[index], index);
}

void jobs_run(cli *app, size_t count, job_fn fn, void *context)
{
    jobs j = {fn, context, TW_NEW_N(app->arena, tw_diags *, count)};
    tw_work(app->arena, count, thread_count(app), do_one, &j);
    for (size_t i = 0; i < count; i++)
        if (j.found[i] != NULL)
            findings_pass(j.found[i], TW_NOTE, app->diags);
}
