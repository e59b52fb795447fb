/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "media.h"

#include <unistd.h>

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

unsigned thread_count(const cli *app)
{
    if (app->set.threads > 0)
        return (unsigned)app->set.threads;
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors > 0 ? (unsigned)processors : 1;
}

void jobs_run(cli *app, size_t count, job_fn fn, void *context)
{
    jobs j = {fn, context, TW_NEW_N(app->arena, tw_diags *, count)};
    tw_work(app->arena, count, thread_count(app), do_one, &j);
    for (size_t i = 0; i < count; i++)
        if (j.found[i] != NULL)
            tw_diags_pass(j.found[i], TW_NOTE, app->diags);
}
