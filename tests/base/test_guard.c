/* SPDX-License-Identifier: Apache-2.0
 *
 * Sets of files when runs meet or are killed. Every case works in a folder of its own below the working folder.
 */
#define _XOPEN_SOURCE 700
#include "support/support.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/guard.h"

typedef struct place {
    tw_arena *arena;
    const char *folder;
} place;

static place new_place(void **state)
{
    place p = {.arena = tw_test_arena(state)};
    char *folder = tw_arena_dupz(p.arena, TW_STR("guard_XXXXXX"));
    assert_non_null(mkdtemp(folder));
    p.folder = tw_arena_printf(p.arena, "%s/", folder).at;
    return p;
}

static const char *in(const place *p, const char *name)
{
    return tw_arena_printf(p->arena, "%s%s", p->folder, name).at;
}

static void put(const place *p, const char *name, tw_str text)
{
    FILE *f = fopen(in(p, name), "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(text.at, 1, text.len, f), text.len);
    fclose(f);
}

static void assert_holds(const place *p, const char *name, const char *text)
{
    tw_str bytes, why;
    assert_int_equal(tw_file_read(p->arena, in(p, name), TW_FILE_LIMIT, &bytes, &why), TW_OK);
    tw_assert_text(bytes, text);
}

/* How many entries there are; then they go, and the folder. */
static int clear(const place *p)
{
    int count = 0;
    DIR *dir = opendir(p->folder);
    const struct dirent *entry;
    while ((entry = readdir(dir)) != NULL) {
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        count++;
        unlink(in(p, entry->d_name));
    }
    closedir(dir);
    rmdir(p->folder);
    return count;
}

static tw_status commit(const place *p, const char *const *names, size_t count, const char *text, tw_str *why)
{
    tw_fileset *set = tw_fileset_new(p->arena);
    for (size_t i = 0; i < count; i++)
        tw_fileset_add(set, in(p, names[i]), tw_str_z(text));
    return tw_fileset_commit(set, why);
}

static const char *const two[] = {"a", "b"};

#define DEAD "999999999" /* above any process number (Linux: at most 2^22) */

extern int test_die_at_rename; /* test_fileset.c */

#define TEN "0123456789"
#define FIFTY TEN TEN TEN TEN TEN

static void leftovers(void **state)
{
    static const struct {
        const char *name, *file;
        bool stays;
    } rows[] = {
        {"a temporary of a dead run", ".a.0.new." DEAD, false},
        {"of a file that is no more written", ".zzz.7.new." DEAD, false},
        {"a name with dots", ".a.b.c.3.new." DEAD, false},
        {"of a run still at work", ".a.0.new.1", true}, /* process 1 is always there */
        {"somebody else's", ".a.new", true},
        {"without an index", ".a.new." DEAD, true},
        {"an old file whose name was cut short", "." FIFTY FIFTY FIFTY FIFTY ".0.old." DEAD, true},
        {"of another kind", ".a.0.tmp." DEAD, true},
        {"a film somebody makes: not before the next is made", ".a.0.made." DEAD ".mp4", true},
        {"an ending that is not ours", ".a.0.new." DEAD ".mp4", true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        place p = new_place(state);
        put(&p, rows[i].file, TW_STR("left"));
        tw_str why;
        assert_int_equal(commit(&p, two, 2, "new", &why), TW_OK);
        assert_holds(&p, "a", "new");
        assert_int_equal(clear(&p), rows[i].stays ? 3 : 2);
    }
}

/* A journal goes into a file of its own, whatever stands under that name. */
static void a_draft_that_leads_elsewhere(void **state)
{
    place p = new_place(state);
    tw_str why;
    put(&p, "diary", TW_STR("dear diary"));
    assert_int_equal(symlink("diary", in(&p, ".tallwide.draft")), 0);
    assert_int_equal(commit(&p, two, 2, "new", &why), TW_OK);
    assert_holds(&p, "diary", "dear diary");
    assert_int_equal(clear(&p), 3);
}

/* One file alone is replaced whole: nothing is kept that would come back when another run clears up. */
static void one_file_killed(void **state)
{
    static const char *const names[] = {"a"};
    place p = new_place(state);
    tw_str why;
    put(&p, "a", TW_STR("old"));
    pid_t child = fork();
    if (child == 0) {
        test_die_at_rename = 1;
        commit(&p, names, 1, "new", &why);
        _exit(0);
    }
    int how = 0;
    waitpid(child, &how, 0);
    assert_true(WIFSIGNALED(how));
    assert_holds(&p, "a", "old");
    assert_int_equal(clear(&p), 2); /* and its temporary */
}

/* A run killed before its promise: what it had moved aside comes back. After it: its files take their places. */
static void promises(void **state)
{
    for (int promised = 0; promised < 2; promised++) {
        place p = new_place(state);
        tw_row((size_t)promised, "promised");
        put(&p, "b", TW_STR("kept"));
        put(&p, ".a.0.old." DEAD, TW_STR("old a"));
        put(&p, ".a.0.new." DEAD, TW_STR("new a"));
        put(&p, ".c.1.new." DEAD, TW_STR("new c"));
        if (promised)
            put(&p, ".tallwide.journal", TW_STR("tallwide journal 1\0.a.0.new." DEAD "\0a\0.c.1.new." DEAD "\0c\0end"));
        twi_guard guard;
        tw_str why;
        assert_int_equal(twi_guard_take(p.arena, p.folder, &guard, &why), TW_OK);
        twi_guard_release(&guard);
        assert_holds(&p, "a", promised ? "new a" : "old a");
        assert_holds(&p, "b", "kept");
        if (promised)
            assert_holds(&p, "c", "new c");
        assert_int_equal(clear(&p), promised ? 3 : 2);
    }
}

/* A journal can move nothing but temporaries, and nothing out of the folder. */
static void forged_journals(void **state)
{
#define FORGED(text)                                                                                                   \
    {                                                                                                                  \
        (text), sizeof(text)                                                                                           \
    } /* with the NUL that ends its last word */
    static const tw_str texts[] = {FORGED("b\0a\0end"), FORGED(".a.0.new." DEAD "\0../a\0end"),
                                   FORGED("../b.0.new." DEAD "\0b\0end")};
    for (size_t i = 0; i < 3; i++) {
        place p = new_place(state);
        tw_buf text = {.arena = p.arena};
        tw_buf_add(&text, TW_STR("tallwide journal 1\0"));
        tw_buf_add(&text, texts[i]);
        put(&p, "b", TW_STR("kept"));
        put(&p, ".tallwide.journal", tw_buf_str(&text));
        twi_guard guard;
        tw_str why;
        assert_int_equal(twi_guard_take(p.arena, p.folder, &guard, &why), TW_OK);
        twi_guard_release(&guard);
        assert_holds(&p, "b", "kept");
        assert_int_equal(clear(&p), 1);
    }
}

static void two_at_once(void **state)
{
    place p = new_place(state);
    int ready[2];
    assert_int_equal(pipe(ready), 0);
    pid_t child = fork();
    if (child == 0) {
        twi_guard guard;
        tw_str why;
        char c = twi_guard_take(p.arena, p.folder, &guard, &why) == TW_OK ? '1' : '0';
        _exit(write(ready[1], &c, 1) == 1 && pause() == -1);
    }
    char c = 0;
    assert_int_equal(read(ready[0], &c, 1), 1);
    assert_int_equal(c, '1');
    tw_str why;
    assert_int_equal(commit(&p, two, 2, "new", &why), TW_ERR_IO);
    tw_assert_text(why, tw_arena_printf(p.arena, "another run (process %ld) is writing to %s: wait until it is done",
                                        (long)child, p.folder)
                            .at);
    kill(child, SIGKILL);
    waitpid(child, NULL, 0);
    assert_int_equal(commit(&p, two, 2, "new", &why), TW_OK); /* the dead hold no lock */
    close(ready[0]);
    close(ready[1]);
    assert_int_equal(clear(&p), 2);
}

#define FILES 6

static void write_generations(const place *p, const char *const *names, int from)
{
    tw_str why;
    for (int g = from;; g++)
        if (commit(p, names, FILES, tw_arena_printf(p->arena, "%d", g).at, &why) != TW_OK)
            _exit(1);
}

static void take_and_release(const place *p)
{
    twi_guard guard;
    tw_str why;
    assert_int_equal(twi_guard_take(p->arena, p->folder, &guard, &why), TW_OK);
    twi_guard_release(&guard);
}

static void assert_whole(const place *p, const char *const *names, const char *text)
{
    take_and_release(p);
    for (size_t f = 0; f < FILES; f++)
        assert_holds(p, names[f], text);
}

/* Rename 1 puts the journal in place; killed there, the set is as it was; killed at any later one, it is the new one. */
static void killed_between_renames(void **state)
{
    static const char *const names[FILES] = {"a", "b", "c", "d", "e", "f"};
    for (int at = 1; at <= FILES + 1; at++) {
        place p = new_place(state);
        tw_row((size_t)at, "killed at rename");
        tw_str why;
        assert_int_equal(commit(&p, names, FILES, "old", &why), TW_OK);
        pid_t child = fork();
        if (child == 0) {
            test_die_at_rename = at;
            _exit(commit(&p, names, FILES, "new", &why) == TW_OK);
        }
        int status = 0;
        waitpid(child, &status, 0);
        assert_true(WIFSIGNALED(status));
        assert_whole(&p, names, at == 1 ? "old" : "new");
        assert_int_equal(clear(&p), FILES);
    }
}

/* A plan beside the folder of its tables, in which the set began: it comes last, and whatever a killed run has left,
 * nothing ever puts an old one in the place of what somebody has saved since. */
static void killed_in_two_folders(void **state)
{
    static const char *const plans[] = {"plan"};
    for (int at = 1; at <= 4; at++) {
        place p = new_place(state), tables = {p.arena, tw_arena_printf(p.arena, "%stracks/", p.folder).at};
        tw_row((size_t)at, "killed at rename");
        tw_str why;
        assert_int_equal(commit(&p, plans, 1, "old", &why), TW_OK);
        pid_t child = fork();
        if (child == 0) {
            tw_fileset *set = tw_fileset_new(p.arena);
            tw_fileset_begin(set, tables.folder, &why);
            tw_fileset_add(set, in(&tables, "a"), TW_STR("new"));
            tw_fileset_add(set, in(&tables, "b"), TW_STR("new"));
            tw_fileset_add(set, in(&p, "plan"), TW_STR("new"));
            test_die_at_rename = at;
            _exit(tw_fileset_commit(set, &why) == TW_OK);
        }
        int status = 0;
        waitpid(child, &status, 0);
        assert_true(WIFSIGNALED(status));
        assert_holds(&p, "plan", "old");
        put(&p, "saved", TW_STR("by hand"));
        rename(in(&p, "saved"), in(&p, "plan"));
        take_and_release(&p);
        assert_holds(&p, "plan", "by hand");
        take_and_release(&tables);
        assert_int_equal(access(in(&tables, "a"), F_OK), at == 1 ? -1 : 0);
        assert_int_equal(clear(&tables), at == 1 ? 0 : 2);
        assert_int_equal(clear(&p), 1);
    }
}

/* Likewise in one folder: only what was promised is finished, and nothing old comes back over what was saved since. */
static void saved_after_a_killed_run(void **state)
{
    place p = new_place(state);
    tw_str why;
    assert_int_equal(commit(&p, two, 2, "old", &why), TW_OK);
    pid_t child = fork();
    if (child == 0) {
        test_die_at_rename = 1;
        _exit(commit(&p, two, 2, "new", &why) == TW_OK);
    }
    int status = 0;
    waitpid(child, &status, 0);
    assert_true(WIFSIGNALED(status));
    put(&p, "saved", TW_STR("by hand"));
    rename(in(&p, "saved"), in(&p, "a"));
    take_and_release(&p);
    assert_holds(&p, "a", "by hand");
    assert_holds(&p, "b", "old");
    assert_int_equal(clear(&p), 2);
}

/* Killed anywhere, the set is whole again once somebody looks: all files of one generation, none missing. */
static void killed_anywhere(void **state)
{
    static const char *const names[FILES] = {"a", "b", "c", "d e", "\xc3\xa9", "f\ng"};
    place p = new_place(state);
    tw_str why, first, bytes;
    assert_int_equal(commit(&p, names, FILES, "0", &why), TW_OK);
    const char *rounds = getenv("TW_TEST_KILLS");
    int count = rounds != NULL ? atoi(rounds) : 40, halves = 0;
    tw_rng rng = {500};
    for (int i = 0; i < count; i++) {
        pid_t child = fork();
        if (child == 0)
            write_generations(&p, names, i * 1000 + 1);
        const struct timespec wait = {.tv_nsec = (long)tw_rng_between(&rng, 500000, 12000000)};
        nanosleep(&wait, NULL);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        halves += access(in(&p, ".tallwide.journal"), F_OK) == 0;
        twi_guard guard;
        assert_int_equal(twi_guard_take(p.arena, p.folder, &guard, &why), TW_OK);
        twi_guard_release(&guard);
        for (size_t f = 0; f < FILES; f++) {
            assert_int_equal(tw_file_read(p.arena, in(&p, names[f]), 100, &bytes, &why), TW_OK);
            first = f == 0 ? bytes : first;
            assert_true(tw_str_eq(first, bytes));
        }
    }
    print_message("%d kills, %d of them between two renames\n", count, halves);
    assert_int_equal(clear(&p), FILES);
}

/* Asked to stop while files are in motion: nothing is left, and the signal is not lost. */
static void interrupted(void **state)
{
    place p = new_place(state);
    sigset_t usr, before, pending;
    sigemptyset(&usr);
    sigaddset(&usr, SIGINT);
    sigprocmask(SIG_BLOCK, &usr, &before);
    raise(SIGINT); /* pending now, as if it came in the middle */
    tw_str why;
    assert_int_equal(commit(&p, two, 2, "new", &why), TW_ERR_IO);
    assert_non_null(strstr(why.at, "interrupted"));
    sigpending(&pending);
    assert_int_equal(sigismember(&pending, SIGINT), 1);
    struct sigaction ignore = {.sa_handler = SIG_IGN};
    sigaction(SIGINT, &ignore, NULL);
    sigprocmask(SIG_SETMASK, &before, NULL);
    signal(SIGINT, SIG_DFL);
    assert_int_equal(clear(&p), 0);
}

/* A link stays a link: the file it points at is replaced. */
static void links(void **state)
{
    place p = new_place(state);
    put(&p, "real", TW_STR("old"));
    assert_int_equal(symlink("real", in(&p, "a")), 0);
    tw_str why;
    assert_int_equal(commit(&p, two, 2, "new", &why), TW_OK);
    struct stat st;
    assert_int_equal(lstat(in(&p, "a"), &st), 0);
    assert_true(S_ISLNK(st.st_mode));
    assert_holds(&p, "real", "new");
    assert_int_equal(clear(&p), 3);
}

/* Names as long as file systems take, cut between characters: 84 times three bytes are 252. */
static void long_names(void **state)
{
    place p = new_place(state);
    tw_buf name = {.arena = p.arena};
    for (int i = 0; i < 84; i++)
        tw_buf_addz(&name, "\xe2\x82\xac");
    tw_buf_addc(&name, '\0');
    const char *const names[] = {name.at, "b"};
    char *beside = twi_guard_beside(p.arena, name.at, 0, "new");
    assert_true(strlen(beside) <= 255 && tw_str_utf8(tw_str_z(beside), NULL));
    tw_str why;
    assert_int_equal(commit(&p, names, 2, "new", &why), TW_OK);
    assert_holds(&p, name.at, "new");
    assert_int_equal(clear(&p), 2);
}

TW_SUITE(guard)
{
    const struct CMUnitTest tests[] = {TW_TEST(leftovers),
                                       TW_TEST(a_draft_that_leads_elsewhere),
                                       TW_TEST(one_file_killed),
                                       TW_TEST(promises),
                                       TW_TEST(forged_journals),
                                       TW_TEST(two_at_once),
                                       TW_TEST(killed_between_renames),
                                       TW_TEST(killed_in_two_folders),
                                       TW_TEST(saved_after_a_killed_run),
                                       TW_TEST(killed_anywhere),
                                       TW_TEST(interrupted),
                                       TW_TEST(links),
                                       TW_TEST(long_names)};
    return tw_run("base/guard", tests);
}
