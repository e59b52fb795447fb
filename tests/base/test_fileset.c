/* SPDX-License-Identifier: Apache-2.0
 *
 * Files on disk, in a folder of their own below the working folder. rename and link are replaced at link time
 * (tests/CMakeLists.txt) by ones that can be told to fail, since a real disk seldom does it on call.
 */
#define _POSIX_C_SOURCE 200809L
#include "support/support.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

int __real_rename(const char *from, const char *to);
int __wrap_rename(const char *from, const char *to);
int __real_link(const char *from, const char *to);
int __wrap_link(const char *from, const char *to);

static struct {
    const char *rename_onto; /* fails when the target ends like this */
    bool links;              /* fails always: a drive without second names */
} failing;

static bool ends(const char *text, const char *tail)
{
    size_t n = strlen(text), m = strlen(tail);
    return n >= m && strcmp(text + n - m, tail) == 0;
}

/* The process dies in place of this many-th rename; 0: never. For test_guard.c. */
extern int test_die_at_rename;
int test_die_at_rename = 0;

int __wrap_rename(const char *from, const char *to)
{
    if (test_die_at_rename > 0 && --test_die_at_rename == 0)
        raise(SIGKILL);
    if (failing.rename_onto != NULL && ends(to, failing.rename_onto)) {
        errno = ENOSPC;
        return -1;
    }
    return __real_rename(from, to);
}

int __wrap_link(const char *from, const char *to)
{
    if (failing.links) {
        errno = EPERM;
        return -1;
    }
    return __real_link(from, to);
}

typedef struct place {
    tw_arena *arena;
    const char *folder;
} place;

static place new_place(void **state)
{
    failing.rename_onto = NULL;
    failing.links = false;
    place p = {.arena = tw_test_arena(state)};
    char *folder = tw_arena_dupz(p.arena, TW_STR("files_XXXXXX"));
    assert_non_null(mkdtemp(folder));
    p.folder = folder;
    return p;
}

static const char *in(const place *p, const char *name)
{
    return tw_arena_printf(p->arena, "%s/%s", p->folder, name).at;
}

static void put(const place *p, const char *name, const char *text)
{
    FILE *f = fopen(in(p, name), "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(text, 1, strlen(text), f), strlen(text));
    assert_int_equal(fclose(f), 0);
}

static void assert_holds(const place *p, const char *name, const char *text)
{
    tw_str bytes, why;
    tw_row(0, name);
    assert_int_equal(tw_file_read(p->arena, in(p, name), 1000, &bytes, &why), TW_OK);
    tw_assert_text(bytes, text);
}

/* Nothing but these many entries is left behind; then the folder goes. */
static void clear(const place *p, int expected)
{
    failing.rename_onto = NULL;
    DIR *dir = opendir(p->folder);
    assert_non_null(dir);
    int seen = 0;
    for (struct dirent *e = readdir(dir); e != NULL; e = readdir(dir)) {
        if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0)
            continue;
        seen++;
        assert_int_equal(remove(in(p, e->d_name)), 0);
    }
    closedir(dir);
    rmdir(p->folder);
    assert_int_equal(seen, expected);
}

static tw_fileset *set_of(const place *p, const char *const names[], size_t count)
{
    tw_fileset *set = tw_fileset_new(p->arena);
    for (size_t i = 0; i < count; i++)
        tw_fileset_add(set, in(p, names[i]), tw_arena_printf(p->arena, "new %s", names[i]));
    return set;
}

static void together(void **state)
{
    static const char *const names[] = {"a", "b", "c"};
    for (int links = 0; links < 2; links++) {
        place p = new_place(state);
        failing.links = links == 0;
        put(&p, "b", "old b");
        tw_str why;
        assert_int_equal(tw_fileset_commit(set_of(&p, names, 3), &why), TW_OK);
        assert_holds(&p, "a", "new a");
        assert_holds(&p, "b", "new b");
        assert_holds(&p, "c", "new c");
        clear(&p, 3);
    }
}

/* The third rename fails: the first two files are as they were, on drives with and without second names. */
static void or_not_at_all(void **state)
{
    static const char *const names[] = {"a", "b", "c"};
    for (int links = 0; links < 2; links++) {
        place p = new_place(state);
        put(&p, "a", "old a");
        put(&p, "c", "old c");
        failing.links = links == 0;
        failing.rename_onto = "/c";
        tw_fileset *set = set_of(&p, names, 3);
        tw_str why = {NULL, 0};
        if (!failing.links) {
            assert_int_equal(tw_fileset_commit(set, &why), TW_ERR_IO);
            tw_assert_text(why, tw_arena_printf(p.arena, "cannot write %s/c: No space left on device", p.folder).at);
            assert_holds(&p, "c", "old c");
        } else {
            failing.rename_onto = "/b"; /* c's way back must stay open where it was moved aside */
            assert_int_equal(tw_fileset_commit(set, &why), TW_ERR_IO);
            assert_holds(&p, "c", "old c");
        }
        assert_holds(&p, "a", "old a");
        clear(&p, 2);
    }
}

static void folders(void **state)
{
    place p = new_place(state);
    static const char *const missing[] = {"a", "none/b"};
    put(&p, "a", "old a");
    tw_str why = {NULL, 0};
    assert_int_equal(tw_fileset_commit(set_of(&p, missing, 2), &why), TW_ERR_IO);
    tw_assert_text(why, tw_arena_printf(p.arena, "cannot write %s/none/b: No such file or directory", p.folder).at);
    assert_holds(&p, "a", "old a");

    static const char *const blocked[] = {"a", "folder"};
    assert_int_equal(mkdir(in(&p, "folder"), 0777), 0);
    assert_int_equal(tw_fileset_commit(set_of(&p, blocked, 2), &why), TW_ERR_IO);
    tw_assert_text(why, tw_arena_printf(p.arena, "cannot replace %s/folder: Is a directory", p.folder).at);
    assert_holds(&p, "a", "old a");
    clear(&p, 2);
}

static void inputs_are_safe(void **state)
{
    place p = new_place(state);
    static const char *const names[] = {"other", "in"};
    put(&p, "in", "master");
    assert_int_equal(link(in(&p, "in"), in(&p, "second name")), 0);
    tw_str why = {NULL, 0};
    for (int by_other_name = 0; by_other_name < 2; by_other_name++) {
        tw_fileset *set = set_of(&p, names, 2);
        tw_fileset_protect(set, in(&p, by_other_name ? "second name" : "in"));
        assert_int_equal(tw_fileset_commit(set, &why), TW_ERR_SEMANTIC);
        assert_true(tw_str_starts(why, tw_arena_printf(p.arena, "%s/in would overwrite the input", p.folder)));
    }
    static const char *const twice[] = {"x", "x"};
    assert_int_equal(tw_fileset_commit(set_of(&p, twice, 2), &why), TW_ERR_SEMANTIC);
    tw_assert_text(why, tw_arena_printf(p.arena, "%s/x would be written twice", p.folder).at);
    assert_holds(&p, "in", "master");
    clear(&p, 2);
}

/* Two names of a set that lead to one file by a link would leave one of them; and who may read a file stays as it was. */
static void links_and_modes(void **state)
{
    place p = new_place(state);
    struct stat st;
    tw_str why = {NULL, 0};
    static const char *const names[] = {"link", "file"};
    put(&p, "file", "old");
    assert_int_equal(chmod(in(&p, "file"), 0640), 0);
    assert_int_equal(symlink("file", in(&p, "link")), 0);
    assert_int_equal(tw_fileset_commit(set_of(&p, names, 2), &why), TW_ERR_SEMANTIC);
    assert_non_null(strstr(tw_arena_dupz(p.arena, why), "/file would be written twice"));
    assert_holds(&p, "file", "old");
    assert_int_equal(tw_fileset_commit(set_of(&p, names, 1), &why), TW_OK);
    assert_holds(&p, "file", "new link");
    assert_int_equal(lstat(in(&p, "link"), &st), 0);
    assert_true(S_ISLNK(st.st_mode));
    assert_int_equal(stat(in(&p, "file"), &st), 0);
    assert_int_equal(st.st_mode & 0777, 0640);
    clear(&p, 2);
}

/* A killed run could not be brought to an end where a link leads out of the folder: a set is refused, staged or not, one
 * file alone is not. */
static void links_away(void **state)
{
    place p = new_place(state);
    tw_str why = {NULL, 0};
    static const char *const names[] = {"a", "link"}, *const alone[] = {"link"};
    assert_int_equal(mkdir(in(&p, "other"), 0700), 0);
    put(&p, "other/file", "old");
    assert_int_equal(symlink("other/file", in(&p, "link")), 0);
    assert_int_equal(tw_fileset_commit(set_of(&p, names, 2), &why), TW_ERR_SEMANTIC);
    assert_non_null(strstr(tw_arena_dupz(p.arena, why), "other/file, in another folder"));
    tw_fileset *set = tw_fileset_new(p.arena);
    assert_int_equal(tw_fileset_begin(set, p.folder, &why), TW_OK);
    assert_int_equal(tw_fileset_stage(set, in(&p, "link"), TW_STR("new"), &why), TW_OK);
    assert_int_equal(tw_fileset_commit(set, &why), TW_ERR_SEMANTIC);
    assert_holds(&p, "other/file", "old");
    assert_int_equal(tw_fileset_commit(set_of(&p, alone, 1), &why), TW_OK);
    assert_holds(&p, "other/file", "new link");
    assert_int_equal(unlink(in(&p, "other/file")), 0);
    assert_int_equal(rmdir(in(&p, "other")), 0);
    clear(&p, 1);
}

/* What is no file is not replaced by one: a set is refused, one file alone goes through it. */
static void pipes(void **state)
{
    place p = new_place(state);
    static const char *const names[] = {"pipe", "b"};
    char got[16] = "";
    tw_str why = {NULL, 0};
    assert_int_equal(mkfifo(in(&p, "pipe"), 0600), 0);
    assert_int_equal(tw_fileset_commit(set_of(&p, names, 2), &why), TW_ERR_IO);
    tw_assert_text(why, tw_arena_printf(p.arena, "cannot replace %s/pipe: Operation not permitted", p.folder).at);
    int fd = open(in(&p, "pipe"), O_RDONLY | O_NONBLOCK);
    assert_int_equal(tw_fileset_commit(set_of(&p, names, 1), &why), TW_OK);
    assert_int_equal(read(fd, got, sizeof got), 8);
    assert_string_equal(got, "new pipe");
    close(fd);
    clear(&p, 1);
}

static int entries(const place *p)
{
    DIR *dir = opendir(p->folder);
    assert_non_null(dir);
    int seen = 0;
    while (readdir(dir) != NULL)
        seen++;
    closedir(dir);
    return seen - 2; /* . and .. */
}

/* Staged files stand beside their places until commit; nobody else may write there meanwhile. */
static void staged(void **state)
{
    place p = new_place(state);
    tw_str why = {NULL, 0};
    tw_fileset *set = tw_fileset_new(p.arena);
    put(&p, "a", "old a");
    assert_int_equal(tw_fileset_begin(set, p.folder, &why), TW_OK);
    assert_int_equal(tw_fileset_stage(set, in(&p, "a"), TW_STR("new a"), &why), TW_OK);
    assert_int_equal(tw_fileset_stage(set, in(&p, "b"), TW_STR("new b"), &why), TW_OK);
    tw_fileset_add(set, in(&p, "c"), TW_STR("new c"));
    assert_holds(&p, "a", "old a");
    assert_int_equal(entries(&p), 4); /* the old one, two temporaries, the lock */
    assert_int_equal(tw_fileset_commit(set, &why), TW_OK);
    assert_holds(&p, "a", "new a");
    assert_holds(&p, "b", "new b");
    assert_holds(&p, "c", "new c");
    tw_fileset_drop(set); /* changes nothing any more */
    tw_fileset_drop(NULL);
    clear(&p, 3);
}

/* Two films that a program makes appear together; none does when one is missing, cannot be put in its place or is no
 * longer wanted, and nothing hidden is left. */
static void made_elsewhere(void **state)
{
    static const struct {
        const char *what, *refused; /* by the name it is renamed onto */
        bool missing, drop;
    } rows[] = {{"all fine", NULL, false, false},
                {"the second cannot be renamed", "/b.mp4", false, false},
                {"the second is not there", NULL, true, false},
                {"dropped", NULL, false, true}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        place p = new_place(state);
        tw_row(i, rows[i].what);
        tw_str why = {NULL, 0};
        const char *a, *b, *c;
        bool fine = i == 0;
        tw_fileset *set = tw_fileset_new(p.arena);
        put(&p, "a.mp4", "old a");
        assert_int_equal(tw_fileset_room(set, in(&p, "a.mp4"), &a, &why), TW_OK);
        assert_int_equal(tw_fileset_room(set, in(&p, "b.mp4"), &b, &why), TW_OK);
        assert_true(ends(a, ".mp4") && strcmp(a, b) != 0);
        put(&p, a + strlen(p.folder) + 1, "new a");
        if (!rows[i].missing)
            put(&p, b + strlen(p.folder) + 1, "new b");
        failing.rename_onto = rows[i].refused;
        if (rows[i].drop)
            tw_fileset_drop(set);
        else
            assert_int_equal(tw_fileset_commit(set, &why), fine ? TW_OK : TW_ERR_IO);
        assert_holds(&p, "a.mp4", fine ? "new a" : "old a");
        set = tw_fileset_new(p.arena);
        assert_int_equal(mkdir(in(&p, "c"), 0777), 0);
        assert_int_equal(tw_fileset_room(set, in(&p, "c"), &c, &why), TW_ERR_IO);
        tw_assert_text(why, tw_arena_printf(p.arena, "cannot replace %s/c: Is a directory", p.folder).at);
        tw_fileset_drop(set);
        clear(&p, fine ? 3 : 2);
    }
}

/* Numbers of processes come again: a killed run may have had ours. */
static void our_number_before(void **state)
{
    place p = new_place(state);
    static const char *const names[] = {"a"};
    tw_str why = {NULL, 0};
    put(&p, tw_arena_printf(p.arena, ".a.0.new.%ld", (long)getpid()).at, "half");
    assert_int_equal(tw_fileset_commit(set_of(&p, names, 1), &why), TW_OK);
    assert_holds(&p, "a", "new a");
    clear(&p, 1);
}

/* Making room takes away what a killed run has left, and nothing that was made since. */
static void room_is_cleared(void **state)
{
    place p = new_place(state);
    tw_str why = {NULL, 0};
    const char *a, *b;
    tw_fileset *set = tw_fileset_new(p.arena);
    put(&p, ".a.0.made.999999999.mp4", "half"); /* above any process number (Linux: at most 2^22) */
    put(&p, ".a.0.made.999999999.mp4.sound", "half");
    put(&p, ".a.0.made.999999999", "half");
    put(&p, tw_arena_printf(p.arena, ".a.0.made.%ld.mov", (long)getpid()).at, "half");
    put(&p, ".a.0.made.1.mp4", "of a run still at work: process 1 is always there");
    put(&p, ".a.0.new.999999999.mp4", "of somebody else: new ones have no ending");
    assert_int_equal(tw_fileset_room(set, in(&p, "a.mp4"), &a, &why), TW_OK);
    assert_int_equal(entries(&p), 2);
    put(&p, a + strlen(p.folder) + 1, "new a");
    assert_int_equal(tw_fileset_room(set, in(&p, "b.mp4"), &b, &why), TW_OK);
    put(&p, b + strlen(p.folder) + 1, "new b");
    assert_int_equal(tw_fileset_commit(set, &why), TW_OK);
    assert_holds(&p, "a.mp4", "new a");
    clear(&p, 4);
}

static void dropped(void **state)
{
    place p = new_place(state);
    tw_str why = {NULL, 0};
    put(&p, "a", "old a");
    for (int made = 0; made < 2; made++) {
        tw_fileset *set = tw_fileset_new(p.arena);
        const char *folder = made ? in(&p, "new") : p.folder;
        const char *path = in(&p, made ? "new/a" : "a");
        assert_int_equal(tw_fileset_begin(set, folder, &why), TW_OK);
        assert_int_equal(tw_fileset_stage(set, path, TW_STR("new a"), &why), TW_OK);
        tw_fileset_drop(set);
        assert_holds(&p, "a", "old a");
        assert_int_equal(entries(&p), 1);
    }
    failing.rename_onto = "/b"; /* commit drops what it cannot finish */
    tw_fileset *set = tw_fileset_new(p.arena);
    assert_int_equal(tw_fileset_begin(set, p.folder, &why), TW_OK);
    assert_int_equal(tw_fileset_stage(set, in(&p, "a"), TW_STR("new a"), &why), TW_OK);
    assert_int_equal(tw_fileset_stage(set, in(&p, "b"), TW_STR("new b"), &why), TW_OK);
    assert_int_equal(tw_fileset_commit(set, &why), TW_ERR_IO);
    assert_holds(&p, "a", "old a");
    clear(&p, 1);
}

static int heard;

static void hear(int number)
{
    heard = number;
}

/* A signal waits until everything is as it was. */
static void interrupted(void **state)
{
    place p = new_place(state);
    struct sigaction before, ours = {.sa_handler = hear};
    tw_str why = {NULL, 0};
    assert_int_equal(sigaction(SIGTERM, &ours, &before), 0);
    heard = 0;
    for (int staging = 0; staging < 2; staging++) {
        tw_fileset *set = tw_fileset_new(p.arena);
        assert_int_equal(tw_fileset_begin(set, in(&p, "new"), &why), TW_OK);
        assert_int_equal(tw_fileset_stage(set, in(&p, "new/a"), TW_STR("a"), &why), TW_OK);
        assert_false(tw_fileset_interrupted());
        raise(SIGTERM);
        assert_int_equal(heard, 0);
        assert_true(tw_fileset_interrupted());
        if (staging) {
            assert_int_equal(tw_fileset_stage(set, in(&p, "new/b"), TW_STR("b"), &why), TW_ERR_IO);
            tw_fileset_drop(set);
        } else {
            assert_int_equal(tw_fileset_commit(set, &why), TW_ERR_IO);
        }
        tw_assert_text(why, "cannot go on with the files: interrupted: Interrupted system call");
        assert_int_equal(heard, SIGTERM);
        assert_int_equal(entries(&p), 0);
        heard = 0;
    }
    sigaction(SIGTERM, &before, NULL);
    clear(&p, 0);
}

TW_SUITE(fileset)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(together),        TW_TEST(or_not_at_all), TW_TEST(folders),        TW_TEST(inputs_are_safe),
        TW_TEST(staged),          TW_TEST(dropped),       TW_TEST(interrupted),    TW_TEST(links_and_modes),
        TW_TEST(links_away),      TW_TEST(pipes),         TW_TEST(made_elsewhere), TW_TEST(our_number_before),
        TW_TEST(room_is_cleared),
    };
    return tw_run("base/fileset", tests);
}
