/* SPDX-License-Identifier: Apache-2.0 */
#define _XOPEN_SOURCE 700
#include "support/support.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/cli.h"

/* The edit as the plan's folder sees it. */
static void paths_between_folders(void **state)
{
    char top[] = "/tmp/tw name XXXXXX"; /* with a blank, as folders of people have */
    assert_non_null(mkdtemp(top));
    char before[4096];
    assert_non_null(getcwd(before, sizeof before));
    assert_int_equal(chdir(top), 0);
    assert_int_equal(mkdir("cuts", 0777), 0);
    assert_int_equal(mkdir("plans", 0777), 0);
    static const struct {
        const char *from, *to, *seen;
    } rows[] = {
        {NULL, "cuts/wheel.edl", "cuts/wheel.edl"},
        {"wheel.plan.json", "wheel.edl", "wheel.edl"},
        {"plans/wheel.plan.json", "cuts/wheel.edl", "../cuts/wheel.edl"},
        {"plans/wheel.plan.json", "wheel.edl", "../wheel.edl"},
        {"wheel.plan.json", "./cuts/wheel.edl", "cuts/wheel.edl"},
        {"no/such/wheel.plan.json", "cuts/wheel.edl", "../../cuts/wheel.edl"},
        {"plans/wheel.plan.json", "no/such/wheel.edl", "../no/such/wheel.edl"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].seen);
        tw_assert_text(name_relative(tw_test_arena(state), rows[i].from, rows[i].to), rows[i].seen);
    }
    static const struct {
        const char *folder, *path, *meant;
    } meant[] = {
        {"", "tracks/a.csv", "tracks/a.csv"},
        {"plans/", "tracks/a.csv", "plans/tracks/a.csv"},
        {"plans/", "../cuts/a.csv", "plans/../cuts/a.csv"},
        {"plans/", "/cuts/a.csv", "/cuts/a.csv"},
        {"new/", "../cuts/a.csv", "cuts/a.csv"},
        {"no/such/", "../../cuts/a.csv", "cuts/a.csv"},
        {"plans/new/", "../../cuts/a.csv", "plans/../cuts/a.csv"},
        {"/no/", "../cuts/a.csv", "/cuts/a.csv"},
    };
    for (size_t i = 0; i < sizeof meant / sizeof meant[0]; i++) {
        tw_row(i, meant[i].path);
        assert_string_equal(name_from(tw_test_arena(state), tw_str_z(meant[i].folder), tw_str_z(meant[i].path)),
                            meant[i].meant);
    }
    rmdir("cuts");
    rmdir("plans");
    assert_int_equal(chdir(before), 0);
    rmdir(top);
}

TW_SUITE(name)
{
    const struct CMUnitTest tests[] = {TW_TEST(paths_between_folders)};
    return tw_run("cli/name", tests);
}
