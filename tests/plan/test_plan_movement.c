/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

#include <string.h>

static tw_status read_movement(tw_arena *arena, const char *text, tw_note *note, const char **said)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = tw_plan_movement(arena, tw_str_z(text), TW_STR("t"), note, diags);
    *said = tw_findings(arena, diags);
    return status;
}

static void places(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_note note = {.steady = -1};
    const char *said;
    assert_int_equal(
        read_movement(arena, "frame,dx,dy,da,ds,sure\n1,0,0,0,1,1\r\n2, 1.5,-2,0.001,1,1\n\n3.0,-4,5\n", &note, &said),
        TW_OK);
    assert_string_equal(said, "");
    assert_int_equal(note.moved_count, 3);
    assert_int_equal(note.moved_first, 0);
    tw_assert_near(note.moved[1].x, 1.5, 0);
    tw_assert_near(note.moved[1].y, -2, 0);
    tw_assert_near(note.moved[2].x, 1.5 - 4, 0); /* lines are steps */
    tw_assert_near(note.moved[2].y, -2 + 5, 0);
    /* a camera file may begin later than the note */
    assert_int_equal(read_movement(arena, "8,0,0\n9,1,1\n", &note, &said), TW_OK);
    assert_int_equal(note.moved_first, 7);
    assert_int_equal(note.moved_count, 2);
    assert_int_equal(read_movement(arena, "", &note, &said), TW_OK);
    assert_int_equal(note.moved_count, 0);
}

static void what_is_wrong(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *said;
    } rows[] = {
        {"1,0,0\n2,0\n", "t:2:1: error TW1547: a line needs at least three values: frame,dx,dy"},
        {"0,0,0\n", "t:1:1: error TW1547: the frame must be a whole number from 1"},
        {"1,0,0\nx,0,0\n", "t:2:1: error TW1547: the frame must be a whole number from 1"},
        {"1,0,0\n3,0,0\n", "t:2:1: error TW1547: frames must follow each other, one line for each"},
        {"1,0,0\n1,0,0\n", "t:2:1: error TW1547: frames must follow each other, one line for each"},
        {"1,0,much\n", "t:1:3: error TW1547: dx and dy must be numbers"},
        /* all of them, and what follows a fault is none */
        {"1,0\n2,0,0\nx,0,0\n4,0,0\n", "needs at least three values: frame,dx,dy\n  1,0\n  ^^^\nt:3:1: error"},
        {"1,0,0\n2,a,0\n3,0,0\n5,0,0\n", "must be numbers\n  2,a,0\n    ^\nt:4:1: error TW1547: frames must follow"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_note note = {.steady = -1};
        const char *said;
        tw_row(i, rows[i].text);
        assert_int_equal(read_movement(arena, rows[i].text, &note, &said), TW_ERR_SEMANTIC);
        assert_non_null(strstr(said, rows[i].said));
        assert_int_equal(note.moved_count, 0);
    }
}

TW_SUITE(plan_movement)
{
    const struct CMUnitTest tests[] = {TW_TEST(places), TW_TEST(what_is_wrong)};
    return tw_run("plan/movement", tests);
}
