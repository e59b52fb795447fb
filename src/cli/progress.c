/* SPDX-License-Identifier: Apache-2.0
 *
 * How far long work has come: one line on a terminal, drawn over and over and taken away at the end. Plain blanks and
 * carriage returns, since that is what every terminal understands. Also where a held Ctrl-C is let through.
 */
#define _DEFAULT_SOURCE
#include "cli.h"

#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#define PATIENCE 1.0 /* seconds of work nobody is told of */
#define PAUSE 0.1    /* between drawings */
#define SETTLED 3.0  /* seconds before what is left is guessed from what is done */
#define COLUMNS 80   /* where the terminal does not say */

static double now(void)
{
    struct timespec t;
    return clock_gettime(CLOCK_MONOTONIC, &t) == 0 ? (double)t.tv_sec + (double)t.tv_nsec * 1e-9 : 0;
}

static int columns(void)
{
    struct winsize size;
    return ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : COLUMNS;
}

void progress_begin(cli *app)
{
    app->progress = (progress_line){.wanted = isatty(STDERR_FILENO) != 0, .began = now()};
}

static void draw(progress_line *p, const char *share)
{
    int room = columns() - 1 - (int)strlen(share), width = (int)strlen(p->phase);
    if (room < 1)
        return;
    int shown = width < room ? width : room, used = shown + (int)strlen(share);
    fprintf(stderr, "\r%.*s%s%*s\r", shown, p->phase, share, p->used > used ? p->used - used : 0, "");
    fflush(stderr);
    p->used = used;
}

static bool due(const cli *app, progress_line *p)
{
    double at = p->wanted && !app->set.quiet ? now() : p->began;
    if (at - p->began < PATIENCE || at - p->drawn < PAUSE)
        return false;
    p->drawn = at;
    return true;
}

/* Where the line is cut no character may be cut: what is not ASCII is shown as question marks. */
void progress_phase(cli *app, const char *doing, tw_str what)
{
    progress_line *p = &app->progress;
    what = tw_str_cut(what, 60);
    snprintf(p->phase, sizeof p->phase, "%s%s%.*s", doing, what.len > 0 ? " " : "", TW_ARG(what));
    for (char *c = p->phase; *c != '\0'; c++)
        *c = *c < ' ' || *c > '~' ? '?' : *c;
    p->since = now();
    p->drawn = 0;
    progress_step(app, 0, 0);
}

void progress_step(void *context, size_t done, size_t all)
{
    cli *app = context;
    if (app->staged != NULL && tw_fileset_interrupted()) {
        progress_end(app);
        tw_fileset_drop(app->staged); /* the signal comes through here and ends the process */
    }
    if (!due(app, &app->progress))
        return;
    char share[16] = "";
    if (all > 0)
        snprintf(share, sizeof share, "  %d %%", (int)(done * 100 / all));
    draw(&app->progress, share);
}

void progress_frames(void *context, int64_t done, int64_t all)
{
    cli *app = context;
    if (done <= 0 || all < done || !due(app, &app->progress))
        return;
    double gone = app->progress.drawn - app->progress.since;
    long long left = (long long)(gone / (double)done * (double)(all - done) + 0.5);
    char share[80];
    int used = snprintf(share, sizeof share, "  %lld of %lld frames", (long long)done, (long long)all);
    if (gone >= SETTLED)
        snprintf(share + used, sizeof share - (size_t)used, ", %lld:%02lld left", left / 60, left % 60);
    draw(&app->progress, share);
}

/* The caller waits in the call, so that nobody else draws. */
static void *watch(void *context)
{
    progress_watch *w = context;
    const double due_at = w->app->progress.began + PATIENCE;
    struct timespec at = {.tv_sec = (time_t)due_at, .tv_nsec = (long)((due_at - floor(due_at)) * 1e9)};
    pthread_mutex_lock(&w->lock);
    while (!w->over && pthread_cond_timedwait(&w->ended, &w->lock, &at) != ETIMEDOUT) {
    }
    if (!w->over)
        draw(&w->app->progress, "");
    pthread_mutex_unlock(&w->lock);
    return NULL;
}

void progress_watch_begin(cli *app, progress_watch *w)
{
    pthread_condattr_t attr;
    *w = (progress_watch){.app = app};
    if (!app->progress.wanted || app->set.quiet || pthread_condattr_init(&attr) != 0)
        return;
    pthread_condattr_setclock(&attr, CLOCK_MONOTONIC);
    if (pthread_mutex_init(&w->lock, NULL) == 0 && pthread_cond_init(&w->ended, &attr) == 0)
        w->running = pthread_create(&w->thread, NULL, watch, w) == 0;
    pthread_condattr_destroy(&attr);
}

void progress_watch_end(progress_watch *w)
{
    if (!w->running)
        return;
    pthread_mutex_lock(&w->lock);
    w->over = true;
    pthread_cond_signal(&w->ended);
    pthread_mutex_unlock(&w->lock);
    pthread_join(w->thread, NULL);
    pthread_cond_destroy(&w->ended);
    pthread_mutex_destroy(&w->lock);
}

tw_progress progress_of(cli *app)
{
    return (tw_progress){.step = progress_step, .context = app};
}

void progress_end(cli *app)
{
    progress_line *p = &app->progress;
    if (p->used > 0) {
        fprintf(stderr, "\r%*s\r", p->used, "");
        fflush(stderr);
    }
    p->used = 0;
}

void say_failed(cli *app, tw_str why)
{
    progress_end(app);
    say_error("%.*s", TW_ARG(why));
}
