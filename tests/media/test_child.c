/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "support/support.h"

#include <dirent.h>
#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "media/child.h"

static twi_child *run(tw_arena *arena, const char *const *words, bool feeds, const volatile sig_atomic_t *stop)
{
    twi_args args = {.arena = arena};
    twi_args_list(&args, words);
    const twi_child_ask ask = {.args = &args, .feeds = feeds, .stop = stop};
    twi_child *child = NULL;
    assert_int_equal(twi_child_start(arena, &ask, &child), TWI_CHILD_FINE);
    return child;
}

static twi_child *shell(tw_arena *arena, const char *script, bool feeds)
{
    return run(arena, (const char *const[]){"sh", "-c", script, NULL}, feeds, NULL);
}

/* Words reach the program as they are: nobody expands or splits them. */
static void words_are_kept(void **state)
{
    static const char expected[] = "<two words><$HOME `id` ; rm><*><>";
    twi_child *child =
        run(tw_test_arena(state),
            (const char *const[]){"printf", "<%s><%s><%s><%s>", "two words", "$HOME `id` ; rm", "*", "", NULL}, false,
            NULL);
    char text[100];
    size_t got;
    assert_int_equal(twi_child_read(child, text, sizeof text, &got), TWI_CHILD_FINE);
    tw_assert_text((tw_str){text, got}, expected);
    assert_int_equal(twi_child_finish(child), TWI_CHILD_FINE);
    twi_child_end(&child);
}

/* The system's own number stays for whoever tells of it, whatever went wrong before. */
static void says_why(void **state)
{
    static char word[8 << 20]; /* more than a program's words may be together (Linux: at most 6 MB) */
    memset(word, 'a', sizeof word - 1);
    twi_args args = {.arena = tw_test_arena(state)};
    twi_args_list(&args, (const char *const[]){"printf", word, NULL});
    twi_child *child = NULL;
    errno = EPERM;
    assert_int_equal(twi_child_start(args.arena, &(twi_child_ask){.args = &args}, &child), TWI_CHILD_SYSTEM);
    assert_int_equal(errno, E2BIG);
}

/* More than any pipe holds, given in pieces of its own choosing. */
static void reads_whole(void **state)
{
    twi_child *child = shell(tw_test_arena(state), "head -c 3000000 /dev/zero; printf end", false);
    uint8_t *bytes = tw_arena_alloc(tw_test_arena(state), 1, 3000000);
    size_t got;
    memset(bytes, 1, 3000000);
    assert_int_equal(twi_child_read(child, bytes, 3000000, &got), TWI_CHILD_FINE);
    assert_int_equal(got, 3000000);
    for (size_t i = 0; i < got; i++)
        assert_int_equal(bytes[i], 0);
    assert_int_equal(twi_child_read(child, bytes, 3000000, &got), TWI_CHILD_FINE);
    tw_assert_text((tw_str){(char *)bytes, got}, "end");
    twi_child_end(&child);
}

static void writes_whole(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_child *child = shell(arena, "wc -c >&2", true);
    char *bytes = tw_arena_alloc(arena, 1, 5000000);
    assert_int_equal(twi_child_write(child, bytes, 5000000), TWI_CHILD_FINE);
    assert_int_equal(twi_child_finish(child), TWI_CHILD_FINE);
    tw_assert_text(tw_str_trim(twi_child_said(child)), "5000000");
    twi_child_end(&child);
}

/* A program that is gone does not take this one with it. */
static void writing_to_the_dead(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_child *child = shell(arena, "echo '[error] no more' >&2; exit 3", true);
    char *bytes = tw_arena_alloc(arena, 1, 5000000);
    assert_int_equal(twi_child_write(child, bytes, 5000000), TWI_CHILD_FAILED);
    assert_int_equal(twi_child_finish(child), TWI_CHILD_FAILED);
    tw_assert_text(twi_child_said(child), "[error] no more");
    twi_child_end(&child);
}

/* Errors come before what else was said, the first before those that follow from it. */
static void keeps_what_was_said(void **state)
{
    static const struct {
        const char *script, *said;
        twi_child_fault fault;
    } rows[] = {
        {"true", "", TWI_CHILD_FINE},
        {"false", "", TWI_CHILD_FAILED},
        {"echo one >&2; echo two >&2; exit 1", "two", TWI_CHILD_FAILED},
        {"echo '[x] [error] cause' >&2; echo '[y] [error] effect' >&2; echo end >&2; exit 1", "[x] [error] cause",
         TWI_CHILD_FAILED},
        {"printf 'no end' >&2; exit 1", "no end", TWI_CHILD_FAILED},
        {"kill -9 $$", "", TWI_CHILD_FAILED},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].script);
        twi_child *child = shell(tw_test_arena(state), rows[i].script, false);
        assert_int_equal(twi_child_finish(child), rows[i].fault);
        tw_assert_text(twi_child_said(child), rows[i].said);
        twi_child_end(&child);
    }
}

/* A flood of errors does not block a child whose output is read slowly. */
static void floods(void **state)
{
    twi_child *child = shell(tw_test_arena(state), "yes error | head -n 200000 >&2; printf x", false);
    char x;
    size_t got;
    assert_int_equal(twi_child_read(child, &x, 1, &got), TWI_CHILD_FINE);
    assert_int_equal(got, 1);
    assert_int_equal(twi_child_finish(child), TWI_CHILD_FINE);
    twi_child_end(&child);
}

static void absent_program(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_args args = {.arena = arena};
    twi_args_add(&args, "no-such-program-here");
    const twi_child_ask ask = {.args = &args};
    twi_child *child = NULL;
    tw_diags *diags = tw_diags_new(arena);
    twi_child_fault fault = twi_child_start(arena, &ask, &child);
    assert_int_equal(fault, TWI_CHILD_ABSENT);
    assert_null(child);
    assert_int_equal(twi_child_tell(fault, NULL, args.at[0], 2103, TW_STR("x"), "w", diags), TW_ERR_IO);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2101);
}

static size_t open_ends(void)
{
    size_t count = 0;
    DIR *dir = opendir("/proc/self/fd");
    if (dir == NULL)
        return 0;
    while (readdir(dir) != NULL)
        count++;
    closedir(dir);
    return count;
}

/* A program that reads to the end of what it is fed gets one. */
static void collected_to_the_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_child *child = shell(arena, "cat", true);
    tw_buf out = {.arena = arena};
    assert_int_equal(twi_child_write(child, "hub", 3), TWI_CHILD_FINE);
    assert_int_equal(twi_child_collect(child, 100, &out), TWI_CHILD_FINE);
    tw_assert_text(tw_buf_str(&out), "hub");
    twi_child_end(&child);
}

/* What is past the limit is told, not left out in the middle: the last piece alone would fit. */
static void no_more_than_that(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_child *child = shell(arena, "head -c 40000 /dev/zero", false);
    tw_buf out = {.arena = arena};
    assert_int_equal(twi_child_collect(child, 30000, &out), TWI_CHILD_TOO_MUCH);
    assert_int_equal(out.len, 16384);
    twi_child_end(&child);
    child = shell(arena, "head -c 40000 /dev/zero", false);
    assert_int_equal(twi_child_finish(child), TWI_CHILD_FINE);
    twi_child_end(&child);
}

/* Gone, or dead and waiting for whoever collects orphans here. */
static bool is_gone(tw_arena *arena, int64_t pid)
{
    tw_str stat, why;
    if (kill((pid_t)pid, 0) != 0 && errno == ESRCH)
        return true;
    if (tw_file_read(arena, tw_arena_printf(arena, "/proc/%lld/stat", (long long)pid).at, 4096, &stat, &why) != TW_OK)
        return false;
    for (size_t i = 0; i + 2 < stat.len; i++)
        if (stat.at[i] == ')')
            return stat.at[i + 2] == 'Z';
    return false;
}

/* Ended in the middle: the child and what it started are gone, nothing stays open, nobody waits to be collected. */
static void leaves_nothing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    size_t before = open_ends(), got;
    for (int i = 0; i < 5; i++) {
        twi_child *child = shell(arena, "sleep 1000 & echo $!; wait", i % 2 == 1);
        char text[20] = {0};
        int64_t grandchild;
        for (size_t n = 0; n == 0 || text[n - 1] != '\n'; n++)
            assert_int_equal(twi_child_read(child, text + n, 1, &got), TWI_CHILD_FINE);
        assert_true(tw_num_int(tw_str_cut(tw_str_z(text), strlen(text) - 1), &grandchild));
        twi_child_end(&child);
        assert_null(child);
        bool gone = false;
        for (int wait = 0; wait < 300 && !gone; wait++) {
            poll(NULL, 0, 10);
            gone = is_gone(arena, grandchild);
        }
        assert_true(gone);
    }
    assert_int_equal(open_ends(), before);
    assert_int_equal(waitpid(-1, NULL, WNOHANG), -1);
    assert_int_equal(errno, ECHILD);
}

/* A signal handler has set the flag: waiting ends. */
static volatile sig_atomic_t asked;

static void on_alarm(int number)
{
    (void)number;
    asked = 1;
}

static void stops(void **state)
{
    struct sigaction act = {.sa_handler = on_alarm}, old;
    sigaction(SIGALRM, &act, &old);
    twi_child *child = run(tw_test_arena(state), (const char *const[]){"sleep", "1000", NULL}, false, &asked);
    char x;
    size_t got;
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    alarm(1);
    twi_child_fault fault = twi_child_read(child, &x, 1, &got);
    assert_int_equal(fault, TWI_CHILD_STOPPED);
    assert_int_equal(twi_child_tell(fault, child, "sleep", 2103, TW_STR("x"), "w", diags), TW_ERR_IO);
    assert_int_equal(tw_diags_kept(diags), 0);
    twi_child_end(&child);
    sigaction(SIGALRM, &old, NULL);
    asked = 0;
}

/* The name of the part that speaks, and the file's, are left out of the finding. */
static void tells(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    twi_child *child = shell(arena, "echo '[mov @ 0x55d] [error] moov atom not found' >&2; exit 1", false);
    twi_child_fault fault = twi_child_finish(child);
    twi_child_tell(fault, child, "sh", 2103, TW_STR("a.mov"), "cannot be decoded", diags);
    twi_child_end(&child);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)),
                   "a.mov: error TW2103: cannot be decoded: moov atom not found\n");
    diags = tw_diags_new(arena);
    child = shell(arena, "echo 'file:a.mov: Invalid data' >&2; exit 1", false);
    fault = twi_child_finish(child);
    twi_child_tell(fault, child, "sh", 2103, TW_STR("a.mov"), "cannot be decoded", diags);
    twi_child_end(&child);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), "a.mov: error TW2103: cannot be decoded: Invalid data\n");
}

TW_SUITE(child)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(words_are_kept), TW_TEST(says_why),       TW_TEST(collected_to_the_end), TW_TEST(no_more_than_that),
        TW_TEST(reads_whole),    TW_TEST(writes_whole),   TW_TEST(writing_to_the_dead),  TW_TEST(keeps_what_was_said),
        TW_TEST(floods),         TW_TEST(absent_program), TW_TEST(leaves_nothing),       TW_TEST(stops),
        TW_TEST(tells),
    };
    return tw_run("media/child", tests);
}
