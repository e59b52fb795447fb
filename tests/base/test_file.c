/* SPDX-License-Identifier: Apache-2.0
 *
 * Whole files read, from a folder of their own below the working folder.
 */
#define _POSIX_C_SOURCE 200809L
#include "support/support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef struct row {
    const char *name, *holds; /* NULL: there is no such file */
    size_t limit;
    tw_status status;
    const char *text; /* what is read, or the sentence, after its folder */
} row;

static void put(const char *path, const char *text)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(text, 1, strlen(text), f), strlen(text));
    assert_int_equal(fclose(f), 0);
}

static void reading(void **state)
{
    static const row rows[] = {
        {"a", "hello", 1000, TW_OK, "hello"},
        {"a", "hello", 5, TW_OK, "hello"},
        {"a", "hello", 4, TW_ERR_LIMIT, "%s is larger than 4 bytes, the most this tool reads"},
        {"empty", "", 1000, TW_OK, ""},
        {"none", NULL, 9, TW_ERR_IO, "cannot open %s: No such file or directory"},
        {".", NULL, 9, TW_ERR_IO, "%s is a folder, not a file"},
    };
    tw_arena *arena = tw_test_arena(state);
    char *folder = tw_arena_dupz(arena, TW_STR("read_XXXXXX"));
    assert_non_null(mkdtemp(folder));
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        const row *r = &rows[i];
        const char *path = tw_arena_printf(arena, "%s/%s", folder, r->name).at;
        tw_str bytes = TW_STR("as before"), why = {NULL, 0};
        tw_row(i, r->text);
        if (r->holds != NULL)
            put(path, r->holds);
        assert_int_equal(tw_file_read(arena, path, r->limit, &bytes, &why), r->status);
        if (r->status == TW_OK) {
            tw_assert_text(bytes, r->text);
        } else {
            const char *at = strstr(r->text, "%s");
            tw_assert_text(bytes, "as before"); /* failures leave the output alone */
            tw_assert_text(why, tw_arena_printf(arena, "%.*s%s%s", (int)(at - r->text), r->text, path, at + 2).at);
        }
        if (r->holds != NULL)
            assert_int_equal(unlink(path), 0);
    }
    assert_int_equal(rmdir(folder), 0);
}

TW_SUITE(file)
{
    const struct CMUnitTest tests[] = {TW_TEST(reading)};
    return tw_run("base/file", tests);
}
