/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "media/media_support.h"

#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void put(tw_arena *arena, const char *root, const char *name)
{
    const char *path = tw_arena_printf(arena, "%s/%s", root, name).at;
    int fd = open(path, O_WRONLY | O_CREAT, 0666);
    assert_true(fd >= 0);
    close(fd);
}

static void finds(void **state)
{
    static const char *const folders[] = {"", "/A001", "/A001/proxies", "/.hidden", "/empty"};
    static const char *const files[] = {"A001/two.MOV",  "A001/one.mxf", "A001/proxies/one.mp4",
                                        "b.wav",         "notes.txt",    "._b.wav",
                                        ".hidden/x.mov", "none",         "A001/x.mov.part"};
    static const char *const expected[] = {"A001/one.mxf", "A001/proxies/one.mp4", "A001/two.MOV", "b.wav", "link.mov"};
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    const char *root = film_path(arena, "cards");
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++)
        mkdir(tw_arena_printf(arena, "%s%s", root, folders[i]).at, 0777);
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++)
        put(arena, root, files[i]);
    /* A link to a file counts; one to a folder above would never end. */
    assert_int_equal(symlink("b.wav", tw_arena_printf(arena, "%s/link.mov", root).at), 0);
    assert_int_equal(symlink("..", tw_arena_printf(arena, "%s/A001/up", root).at), 0);
    tw_media_paths found;
    assert_int_equal(tw_media_scan(arena, root, diags, &found), TW_OK);
    assert_int_equal(found.count, sizeof expected / sizeof expected[0]);
    for (size_t i = 0; i < found.count; i++)
        tw_assert_text(tw_str_z(found.at[i] + strlen(root) + 1), expected[i]);
    assert_int_equal(tw_diags_kept(diags), 0);
    /* One file by its name, whatever its ending. */
    assert_int_equal(tw_media_scan(arena, tw_arena_printf(arena, "%s/none", root).at, diags, &found), TW_OK);
    assert_int_equal(found.count, 1);
}

static void deep(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_media_paths found;
    const char *root = film_path(arena, "deep");
    tw_buf path = {.arena = arena};
    tw_buf_addz(&path, root);
    for (int i = 0; i <= TW_MEDIA_DEPTH + 1; i++) {
        mkdir(tw_arena_dupz(arena, tw_buf_str(&path)), 0777);
        put(arena, tw_arena_dupz(arena, tw_buf_str(&path)), "x.mov");
        tw_buf_addz(&path, "/d");
    }
    assert_int_equal(tw_media_scan(arena, root, diags, &found), TW_OK);
    assert_int_equal(found.count, TW_MEDIA_DEPTH + 1);
    assert_int_equal(tw_diags_kept(diags), 1);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2106);
}

static void not_there(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const char *const names[] = {film_path(arena, "nowhere"), ""};
    for (size_t i = 0; i < 2; i++) {
        tw_diags *diags = tw_diags_new(arena);
        tw_media_paths found;
        assert_int_equal(tw_media_scan(arena, names[i], diags, &found), TW_ERR_IO);
        assert_int_equal(tw_diags_get(diags, 0)->code, 2105);
    }
}

TW_SUITE(scan)
{
    const struct CMUnitTest tests[] = {TW_TEST(finds), TW_TEST(deep), TW_TEST(not_there)};
    return tw_run("media/scan", tests);
}
