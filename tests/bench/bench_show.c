/* SPDX-License-Identifier: Apache-2.0
 *
 * The whole command on big shows: time and peak memory of each job beside reading and writing the same files without
 * solving, in one run, and how both grow from 1,000 shots to 10,000 and, with --long, 100,000. Not a test.
 * The aims: fork under 3 x bare and under 10 x the input's bytes; growth near 1.
 */
#define _DEFAULT_SOURCE /* wait4 */
#include "show.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <tallwide/tallwide.h>

#include "clock.h"

#define MOST_SIZES 3
#define JOBS 6

static const char *const deliveries[SHOW_DELIVERIES] = {"wide", "tall", "square"};

typedef struct figures {
    double cpu, wall; /* seconds */
    double peak;      /* bytes */
} figures;

static _Noreturn void stop(const char *what)
{
    fprintf(stderr, "bench_show: %s: %s\n", what, strerror(errno));
    exit(1);
}

static double cpu_of(const struct rusage *use)
{
    return (double)(use->ru_utime.tv_sec + use->ru_stime.tv_sec) +
           (double)(use->ru_utime.tv_usec + use->ru_stime.tv_usec) * 1e-6;
}

static double cpu_now(void)
{
    struct rusage use;
    getrusage(RUSAGE_SELF, &use);
    return cpu_of(&use);
}

/* ---- files ----------------------------------------------------------------------------------------------- */

static size_t put(const char *path, tw_str text)
{
    FILE *f = fopen(path, "wb");
    if (f == NULL || fwrite(text.at, 1, text.len, f) != text.len || fclose(f) != 0)
        stop(path);
    return text.len;
}

static tw_str get(tw_arena *arena, const char *path)
{
    tw_str text, why;
    if (tw_file_read(arena, path, TW_FILE_LIMIT, &text, &why) != TW_OK)
        stop(path);
    return text;
}

static size_t size_of(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 ? (size_t)st.st_size : 0;
}

static size_t make_show(const show *s, const char *ending)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    const char *name = tw_arena_printf(arena, "show.%s", ending).at;
    const show next = {s->shots, s->list, 2};
    size_t bytes = put(name, show_master(arena, s)) + put("show.plan.json", show_plan(arena, s, name));
    put(tw_arena_printf(arena, "next.%s", ending).at, show_master(arena, &next));
    tw_arena_free(&arena);
    return bytes;
}

/* ---- children -------------------------------------------------------------------------------------------- */

static figures finish(pid_t child, double start, int most)
{
    int status;
    struct rusage use;
    if (child < 0 || wait4(child, &status, 0, &use) != child)
        stop("cannot start a child");
    if (!WIFEXITED(status) || WEXITSTATUS(status) > most) {
        fprintf(stderr, "bench_show: a job ended with status %d\n", status);
        exit(1);
    }
    return (figures){cpu_of(&use), now() - start, (double)use.ru_maxrss * 1024};
}

static figures run_command(const char *const *words)
{
    double start = now();
    pid_t child = fork();
    if (child == 0) {
        int nowhere = open("/dev/null", O_WRONLY);
        if (nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0)
            _exit(127);
        execv(TW_COMMAND, (char *const *)words);
        _exit(127);
    }
    return finish(child, start, 1);
}

/* ---- bare: the same files read and written ---------------------------------------------------------------- */

typedef struct sums {
    double cpu, wall;
    double cpu_since, wall_since;
} sums;

static void go(sums *s)
{
    s->cpu_since = cpu_now();
    s->wall_since = now();
}

static void pause_sums(sums *s)
{
    s->cpu += cpu_now() - s->cpu_since;
    s->wall += now() - s->wall_since;
}

static tw_timeline *read_edit(tw_arena *arena, const char *path, tw_str *text)
{
    *text = get(arena, path);
    const tw_read_options options = {.rate = {24, 1}};
    tw_timeline *timeline;
    if (tw_formats_read(arena, *text, tw_str_z(path), &options, tw_diags_new(arena), &timeline) != TW_OK)
        stop(path);
    return timeline;
}

static void read_inputs(const char *ending)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_str text;
    tw_plan *plan;
    read_edit(arena, tw_arena_printf(arena, "show.%s", ending).at, &text);
    text = get(arena, "show.plan.json");
    if (tw_plan_read(arena, text, TW_STR("plan"), (tw_rate){24, 1}, false, tw_diags_new(arena), &plan) != TW_OK)
        stop("show.plan.json");
    tw_arena_free(&arena);
}

static void commit(tw_arena *arena, const char *path, tw_str text)
{
    tw_str why;
    tw_fileset *set = tw_fileset_new(arena);
    tw_fileset_add(set, tw_arena_printf(arena, "bare.%s", path + 4).at, text);
    if (tw_fileset_commit(set, &why) != TW_OK)
        stop("bare");
}

/* Only the writing counts: fork has what it writes in hand. */
static void write_again(const char *path, sums *s)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    const tw_format *format = tw_formats_for_path(tw_str_z(path));
    tw_buf out = {.arena = arena};
    tw_str text;
    tw_timeline *timeline = format != NULL ? read_edit(arena, path, &text) : NULL;
    if (timeline == NULL)
        text = get(arena, path);
    go(s);
    const tw_write_options options = {.crlf = false};
    if (timeline != NULL && format->write(arena, timeline, 0, &options, tw_diags_new(arena), &out) != TW_OK)
        stop(path);
    commit(arena, path, timeline != NULL ? tw_buf_str(&out) : text);
    pause_sums(s);
    tw_arena_free(&arena);
}

static const char *const endings[] = {"otio", "edl", "vtt", "keys.csv", "proof.json"};

static sums do_bare(const char *ending)
{
    sums s = {0};
    go(&s);
    read_inputs(ending);
    pause_sums(&s);
    for (size_t d = 0; d < SHOW_DELIVERIES; d++) {
        for (size_t e = 0; e < sizeof endings / sizeof endings[0]; e++) {
            char path[100];
            snprintf(path, sizeof path, "out/show.%s.%s", deliveries[d], endings[e]);
            if (size_of(path) > 0)
                write_again(path, &s);
        }
    }
    write_again("out/show.sheet.xhtml", &s);
    return s;
}

static figures run_bare(const char *ending)
{
    int ends[2];
    if (pipe(ends) != 0)
        stop("pipe");
    pid_t child = fork();
    if (child == 0) {
        const sums done = do_bare(ending);
        _exit(write(ends[1], &done, sizeof done) == (ssize_t)sizeof done ? 0 : 127);
    }
    close(ends[1]);
    sums s;
    if (read(ends[0], &s, sizeof s) != (ssize_t)sizeof s)
        stop("bare");
    close(ends[0]);
    figures f = finish(child, now(), 0);
    return (figures){s.cpu, s.wall, f.peak};
}

/* ---- one show -------------------------------------------------------------------------------------------- */

static const char *const jobs[JOBS] = {"bare", "fork", "check", "list", "compare", "recut"};

static void run_jobs(const char *ending, figures out[JOBS])
{
    char master[16], next[16];
    snprintf(master, sizeof master, "show.%s", ending);
    snprintf(next, sizeof next, "next.%s", ending);
    const char *const words[JOBS][9] = {
        {NULL},
        {"tallwide", "fork", "-q", "show.plan.json", "-o", "out", NULL},
        {"tallwide", "check", "-q", "show.plan.json", "out", NULL},
        {"tallwide", "list", "--rate", "24", master, NULL},
        {"tallwide", "compare", "--rate", "24", master, next, NULL},
        {"tallwide", "recut", "-q", "show.plan.json", next, "-o", "again", NULL},
    };
    for (size_t j = 1; j < JOBS; j++)
        out[j] = run_command(words[j]);
    out[0] = run_bare(ending);
}

static void print_jobs(const show *s, double bytes, const figures f[JOBS])
{
    printf("\n%s, %ld shots, %d deliveries, %ld region keys: %.1f MB in\n", s->list ? "text list" : "OTIO", s->shots,
           SHOW_DELIVERIES, s->shots * SHOW_SHOT_KEYS, bytes / 1e6);
    printf("  job       cpu s  x bare   wall s  x bare  peak MB    x in\n");
    for (size_t j = 0; j < JOBS; j++)
        printf("  %-8s%7.2f%8.1f%9.2f%8.1f%9.1f%8.1f\n", jobs[j], f[j].cpu, f[j].cpu / f[0].cpu, f[j].wall,
               f[j].wall / f[0].wall, f[j].peak / 1e6, f[j].peak / bytes);
    fflush(stdout);
}

/* Slope of log cost over log shots by least squares: 1 is linear. */
static double slope(const double *x, const double *y, size_t count)
{
    double mx = 0, my = 0, xy = 0, xx = 0;
    for (size_t i = 0; i < count; i++) {
        mx += log(x[i]) / (double)count;
        my += log(y[i]) / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        xy += (log(x[i]) - mx) * (log(y[i]) - my);
        xx += (log(x[i]) - mx) * (log(x[i]) - mx);
    }
    return xy / xx;
}

static void print_growth(const double *shots, figures f[MOST_SIZES][JOBS], size_t count)
{
    printf("\n  growth    time   memory  (1: as the shots)\n");
    for (size_t j = 0; j < JOBS; j++) {
        double cpu[MOST_SIZES], peak[MOST_SIZES];
        for (size_t i = 0; i < count; i++) {
            cpu[i] = f[i][j].cpu;
            peak[i] = f[i][j].peak;
        }
        printf("  %-8s%6.2f%9.2f\n", jobs[j], slope(shots, cpu, count), slope(shots, peak, count));
    }
}

/* Takes away a folder this program made, with what its children put there. */
static void sweep(const char *folder)
{
    const char *const words[] = {"rm", "-r", "-f", "--", folder, NULL};
    pid_t child = fork();
    if (child == 0) {
        execvp("rm", (char *const *)words);
        _exit(127);
    }
    waitpid(child, NULL, 0);
}

static void enter(const char *folder)
{
    if (mkdir(folder, 0777) != 0 || chdir(folder) != 0)
        stop(folder);
}

static void leave(const char *folder)
{
    if (chdir("..") != 0)
        stop(folder);
    sweep(folder);
}

static void bench(bool list, long most)
{
    const char *ending = list ? "edl" : "otio";
    double shots[MOST_SIZES];
    figures f[MOST_SIZES][JOBS];
    size_t count = 0;
    for (long n = 1000; n <= most; n *= 10) {
        const show s = {n, list, 1};
        enter("show");
        double bytes = (double)make_show(&s, ending);
        run_jobs(ending, f[count]);
        leave("show");
        print_jobs(&s, bytes, f[count]);
        shots[count++] = (double)n;
    }
    if (count > 1)
        print_growth(shots, f, count);
}

int main(int argc, char **argv)
{
    bool longer = argc > 1 && strcmp(argv[argc - 1], "--long") == 0;
    long most = longer ? 100000 : argc > 1 && strcmp(argv[1], "--short") == 0 ? 1000 : 10000;
    const char *base = getenv("TMPDIR");
    char folder[4096];
    snprintf(folder, sizeof folder, "%s/bench_show.XXXXXX", base != NULL ? base : "/tmp");
    if (mkdtemp(folder) == NULL || chdir(folder) != 0)
        stop(folder);
    bench(false, most);
    bench(true, most < 10000 ? most : 10000); /* a list's clock holds 29,000 such shots a day */
    if (chdir("/") != 0)
        stop("/");
    sweep(folder);
    return 0;
}
