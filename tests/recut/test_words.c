/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/versions.h"

static const row_shot before[] = {
    {"A003", 1000, 96, 1}, {"B001", 5000, 48, 1}, {"C002", 100, 60, 1}, {"B001", 5100, 50, 1}, {"A004", 300, 100, 1}};
static const row_shot after[] = {{"A003", 1010, 86, 1}, {"D001", 5000, 48, 1}, {"C002", 100, 30, 2},
                                 {"A004", 300, 40, 1},  {"A004", 344, 56, 1},  {"E001", 1, 1, 1}};

static void a_change_list(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf out = {.arena = arena};
    tw_recut_say(tw_recut_compare(arena, VERSION(arena, before), VERSION(arena, after), 0), false, &out);
    tw_assert_text(
        tw_buf_str(&out),
        "  trimmed   001    01:00:00:00  A003          00:00:42:02  86 frames, head 10 frames shorter\n"
        "  replaced  002    01:00:03:14  D001          00:03:28:08  48 frames, in place of B001\n"
        "  retimed   003    01:00:05:14  C002          00:00:04:04  30 frames, 200.0 % instead of 100.0 %\n"
        "  removed   004    01:00:08:12  B001          00:03:32:12  50 frames\n"
        "  split     004    01:00:06:20  A004          00:00:12:12  40 frames, into 2 pieces, 4 frames "
        "between them gone\n"
        "  added     006    01:00:10:20  E001          00:00:00:01  1 frame\n"
        "5 shots before, 6 now: 0 as before, 1 trimmed, 1 retimed, 1 split, 1 replaced, 1 removed, 1 added\n");
}

static void slipped_and_moved(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot a[] = {{"A003", 1000, 96, 1}, {"B001", 5000, 48, 1}, {"C002", 100, 60, 1}};
    const row_shot b[] = {{"C002", 102, 60, 1}, {"A003", 1000, 96, 1}, {"B001", 5000, 48, 1}};
    tw_buf out = {.arena = arena};
    tw_recut_say(tw_recut_compare(arena, VERSION(arena, a), VERSION(arena, b), 0), true, &out);
    tw_assert_text(
        tw_buf_str(&out),
        "  trimmed   001    01:00:00:00  C002          00:00:04:06  60 frames, moved, slipped 2 frames later "
        "in the source\n"
        "  kept      002    01:00:02:12  A003          00:00:41:16  96 frames\n"
        "  kept      003    01:00:06:12  B001          00:03:28:08  48 frames\n"
        "3 shots before, 3 now: 2 as before, 1 trimmed, 1 moved\n");
}

/* The same clip read again at half the rate: a second of record, and of source, is 12 frames, not 24. */
static void another_record_rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot a[] = {{"A003", 1000, 96, 1}};
    tw_timeline *now = VERSION(arena, a);
    now->rate = (tw_rate){12, 1};
    tw_buf out = {.arena = arena};
    tw_recut_say(tw_recut_compare(arena, VERSION(arena, a), now, 0), false, &out);
    assert_true(tw_str_holds(tw_buf_str(&out), TW_STR("100.0 % at 12 frames a second instead of 100.0 % at 24 frames a "
                                                      "second")));
}

static void for_machines(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot a[] = {{"A003", 1000, 96, 1}}, b[] = {{"A003", 1000, 95, 1}};
    tw_buf out = {.arena = arena};
    tw_recut_json(tw_recut_compare(arena, VERSION(arena, a), VERSION(arena, b), 0), tw_diags_new(arena), &out);
    tw_assert_text(
        tw_buf_str(&out),
        "{\"ok\": false, \"same\": false, \"old_shots\": 1, \"new_shots\": 1, \"kept\": 0, \"trimmed\": 1, "
        "\"retimed\": 0, \"split\": "
        "0, "
        "\"joined\": 0, \"replaced\": 0, \"removed\": 0, \"added\": 0, \"moved\": 0, \"transitions_changed\": 0, "
        "\"windows_changed\": 0,\n"
        " \"changes\": [\n"
        "  {\"kind\": \"trimmed\", \"moved\": false, \"old\": [{\"event\": \"001\", \"reel\": \"A003\", \"record_in\": "
        "\"01:00:00:00\", \"source_in\": \"00:00:41:16\", \"frames\": 96}], \"new\": [{\"event\": \"001\", \"reel\": "
        "\"A003\", \"record_in\": \"01:00:00:00\", \"source_in\": \"00:00:41:16\", \"frames\": 95}], \"head\": 0, "
        "\"tail\": -1, \"missing\": 0, \"transition_changed\": false, \"enabled_changed\": false}],\n"
        " \"findings\": []}\n");
}

/* Renumbering and moving everything later changes no line. */
static void plain_lines(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_key keys[] = {{0, 2880, 2160, 2430, 0}};
    tw_framing f = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 1};
    tw_item items[] = {hand_clip("A003", 0, 1000, 96), hand_transition(96, 0, 12), hand_clip("B001", 96, 5000, 48),
                       hand_gap(144, 6)};
    items[0].framing = &f;
    items[0].event = TW_STR("007");
    items[2].speed = 0.5;
    items[2].name = TW_STR("rim");
    items[2].enabled = false;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 4);
    tw_buf out = {.arena = arena};
    tw_recut_plain(hand_timeline(arena, &track, 1), &out);
    tw_assert_text(tw_buf_str(&out), "24/1\n"
                                     "video track V\n"
                                     "  A003 00:00:41:16 96\n"
                                     "    window for 1080x1920 0: x 1665.000 y 0.000 w 2430.000 ease 0\n"
                                     "  transition dissolve 0+12\n"
                                     "  B001 00:03:28:08 48 at 50.0 % \"rim\" off\n"
                                     "  gap 6\n");
}

TW_SUITE(words)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(a_change_list), TW_TEST(slipped_and_moved), TW_TEST(another_record_rate),
        TW_TEST(for_machines),  TW_TEST(plain_lines),
    };
    return tw_run("recut/words", tests);
}
