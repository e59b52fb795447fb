/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/good.h"

#define NUMBERS                                                                                                        \
    "\"deliveries\": [\n"                                                                                              \
    "  {\"name\": \"tall\", \"shots\": 42, \"not_framed\": 3, \"moving\": 9, \"keys\": 61, \"frames\": 5310, "         \
    "\"outside_frames\": 0, \"must_frames\": 4100, \"must_held_frames\": 4100, \"must_forced_frames\": 0, "            \
    "\"must_by_hand_frames\": 0, \"worst_cut_px\": 0.0, \"max_scale\": 0.888889, \"over_scale_frames\": 0, "           \
    "\"peak_speed\": 0.1429, \"peak_accel\": 0.8, \"cut_unchanged\": true}]"

static void json(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf out = {.arena = arena};
    tw_diags *diags = tw_diags_new(arena);
    tw_proof_write_json(&good, 1, true, diags, &out);
    tw_assert_text(tw_buf_str(&out), "{\"ok\": true, " NUMBERS ", \"findings\": []}\n");
    out = (tw_buf){.arena = arena};
    tw_diag_add(diags, 1701, NULL, "an edge");
    tw_proof_write_json(NULL, 0, false, diags, &out);
    tw_assert_text(tw_buf_str(&out), "{\"ok\": false, \"deliveries\": [], \"findings\": [\n"
                                     "  {\"severity\": \"error\", \"code\": \"TW1701\", \"message\": \"an edge\"}]}\n");
}

/* What is written is read back, and what was changed since is known by it. */
static void record(void **state)
{
    static const tw_proof_named files[] = {{{"a.tall.otio", 11}, 0x0123456789abcdef}, {{"b", 1}, 0}};
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_buf out = {.arena = arena};
    tw_diag_add(diags, 1701, NULL, "an edge");
    tw_proof_write_record(&good, true, files, 2, diags, &out);
    tw_assert_text(tw_buf_str(&out), "{\"ok\": true, " NUMBERS ",\n"
                                     " \"files\": [\n"
                                     "  {\"name\": \"a.tall.otio\", \"hash\": \"0123456789abcdef\"},\n"
                                     "  {\"name\": \"b\", \"hash\": \"0000000000000000\"}], \"findings\": [\n"
                                     "  {\"severity\": \"error\", \"code\": \"TW1701\", \"message\": \"an edge\"}]}\n");
    const tw_proof_named *named = NULL;
    assert_int_equal(tw_proof_record_files(arena, tw_buf_str(&out), &named), 2);
    for (size_t i = 0; i < 2; i++) {
        tw_assert_text(named[i].name, files[i].name.at);
        assert_true(named[i].hash == files[i].hash);
    }
    tw_proof other = good;
    assert_true(tw_proof_record_tells(arena, tw_buf_str(&out), &good));
    other.peak_speed += 0.0001; /* the last digit that is written */
    assert_false(tw_proof_record_tells(arena, tw_buf_str(&out), &other));
}

/* Records are files that anybody may have touched. */
static void foreign(void **state)
{
    static const struct {
        const char *text;
        size_t files;
    } rows[] = {
        {"", 0},
        {"no JSON", 0},
        {"[1, 2]", 0},
        {"{\"ok\": true, " NUMBERS ", \"findings\": []}", 0}, /* no files: as check --json tells */
        {"{\"files\": 3}", 0},
        {"{\"files\": [3, {}, {\"name\": 1, \"hash\": \"0a\"}, {\"name\": \"a\"}]}", 0},
        {"{\"files\": [{\"name\": \"a\", \"hash\": \"xyz\"}, {\"name\": \"b\", \"hash\": \"0a\"}]}", 1},
    };
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        const tw_proof_named *named = NULL;
        tw_row(i, rows[i].text);
        assert_int_equal(tw_proof_record_files(arena, tw_str_z(rows[i].text), &named), rows[i].files);
        assert_int_equal(tw_proof_record_tells(arena, tw_str_z(rows[i].text), &good), i == 3);
    }
}

TW_SUITE(record)
{
    const struct CMUnitTest tests[] = {TW_TEST(json), TW_TEST(record), TW_TEST(foreign)};
    return tw_run("proof/record", tests);
}
