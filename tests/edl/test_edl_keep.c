/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

static const char *const fixtures[] = {
    "edl/ok_scene.edl",
    "edl/ok_crlf.edl",
    "edl/ok_cr.edl",
    "edl/ok_bom.edl",
    "edl/ok_padded.edl",
    "edl/ok_no_last_end.edl",
    "edl/ok_latin1.edl",
    "edl/ok_utf8.edl",
    "edl/ok_no_header.edl",
    "edl/ok_bom_no_header.edl",
    "edl/ok_blank_lines.edl",
    "edl/ok_mixed_ends.edl",
    "edl/ok_trailer.edl",
    "edl/ok_sound.edl",
    "edl/ok_no_last_end_event.edl",
    "edl/ok_page_last_event.edl",
};
#define FIXTURES (sizeof fixtures / sizeof fixtures[0])

/* The rule of tallwide/edl.h: our lines go with their ends, a last one without end takes the end before it along. */
static tw_str without_ours(tw_arena *arena, tw_str bytes)
{
    tw_buf out = {.arena = arena};
    size_t last_end = 0;
    for (size_t i = 0; i < bytes.len;) {
        size_t end = i;
        while (end < bytes.len && bytes.at[end] != '\n' && bytes.at[end] != '\r')
            end++;
        size_t next = end < bytes.len ? end + 1 : end;
        if (next < bytes.len && bytes.at[end] == '\r' && bytes.at[next] == '\n')
            next++;
        bool ours = tw_str_starts(tw_str_from(bytes, i), TW_STR("* TALLWIDE"));
        if (!ours) {
            tw_buf_add(&out, (tw_str){bytes.at + i, next - i});
            last_end = next - end;
        } else if (next == end) {
            out.len -= last_end;
        }
        i = next;
    }
    return tw_buf_str(&out);
}

static tw_framing *framing_for(tw_arena *arena, size_t n)
{
    tw_framing *f = TW_NEW(arena, tw_framing);
    *f = (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .key_count = 1 + n % 3};
    f->keys = TW_NEW_N(arena, tw_key, f->key_count);
    for (size_t k = 0; k < f->key_count; k++)
        f->keys[k] = (tw_key){(int64_t)(k * 10), 1215 + (double)n, 2160, 2430, (double)k};
    return f;
}

/* A framing for every picture clip with a length, and a stamp. */
static size_t frame_all(tw_arena *arena, tw_timeline *timeline)
{
    size_t count = 0;
    for (size_t t = 0; t < timeline->track_count; t++) {
        for (size_t i = 0; i < timeline->tracks[t].item_count; i++) {
            tw_item *item = &timeline->tracks[t].items[i];
            if (timeline->tracks[t].kind == TW_TRACK_VIDEO && item->kind == TW_ITEM_CLIP && item->record.dur.num > 0)
                item->framing = framing_for(arena, count++);
        }
    }
    timeline->stamp = TW_NEW(arena, tw_stamp);
    *timeline->stamp = (tw_stamp){TW_STR("tall"), {1080, 1920}, 1, 2};
    return count;
}

static tw_str written(tw_arena *arena, const tw_timeline *timeline)
{
    tw_buf out = {.arena = arena};
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_format_edl.parts(timeline), 1);
    assert_int_equal(tw_format_edl.write(arena, timeline, 0, NULL, diags, &out), TW_OK);
    assert_int_equal(tw_diags_kept(diags), 0);
    return tw_buf_str(&out);
}

static size_t framings_of(const tw_timeline *timeline)
{
    size_t count = 0;
    for (size_t t = 0; t < timeline->track_count; t++)
        for (size_t i = 0; i < timeline->tracks[t].item_count; i++)
            count += timeline->tracks[t].items[i].framing != NULL;
    return count;
}

static void untouched_gives_the_same_bytes(void **state)
{
    for (size_t i = 0; i < FIXTURES; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_str bytes = tw_fixture(arena, fixtures[i]);
        tw_row(i, fixtures[i]);
        assert_true(tw_str_eq(written(arena, edl_read(arena, bytes, "24").timeline), bytes));
    }
}

static void framed_and_stripped_gives_the_same_bytes(void **state)
{
    for (size_t i = 0; i < FIXTURES; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_str bytes = tw_fixture(arena, fixtures[i]);
        tw_timeline *timeline = tw_timeline_copy(arena, edl_read(arena, bytes, "24").timeline);
        size_t framed = frame_all(arena, timeline);
        tw_row(i, fixtures[i]);
        tw_str once = written(arena, timeline);
        assert_true(once.len > bytes.len);
        assert_true(tw_str_eq(without_ours(arena, once), bytes));
        tw_timeline *again = edl_read(arena, once, "24").timeline;
        assert_int_equal(framings_of(again), framed);
        assert_int_equal(again->stamp->plan_hash, 2);
        assert_true(tw_str_eq(written(arena, again), once)); /* replaced, not doubled */
    }
}

/* A line that ends in CR CR LF is a line and an empty one: a remark of ours that ended in CR alone would take in the LF
 * of an empty line after it. */
static void ends_of_all_kinds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char master[] = "TITLE: WHEEL\r\r\n"
                                 "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\r\n"
                                 "\n"
                                 "002  B001     V     C        02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\r\n";
    tw_timeline *timeline = tw_timeline_copy(arena, edl_read(arena, TW_STR(master), "24").timeline);
    frame_all(arena, timeline);
    tw_assert_text(without_ours(arena, written(arena, timeline)), master);
}

/* A remark of ours behind a form feed is read as one, and taken away as one. */
static void ours_on_a_new_page(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline =
        edl_read(arena,
                 TW_STR("TITLE: WHEEL\n"
                        "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
                        "\f* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
                        "* TALLWIDE KEY 0 X 0.000 Y 0.000 W 2430.000 EASE 0\n"),
                 "24")
            .timeline;
    assert_int_equal(framings_of(timeline), 1);
    tw_str once = written(arena, timeline);
    assert_false(tw_str_holds(once, TW_STR("\f* TALLWIDE")));
    assert_int_equal(framings_of(edl_read(arena, once, "24").timeline), 1);
}

/* In a list without a last line end a plain filter of lines is enough where the last line is a remark. */
static void plain_filter_without_last_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_str bytes = tw_fixture(arena, "edl/ok_no_last_end.edl");
    tw_timeline *timeline = tw_timeline_copy(arena, edl_read(arena, bytes, "24").timeline);
    frame_all(arena, timeline);
    tw_str once = written(arena, timeline);
    assert_true(once.at[once.len - 1] == bytes.at[bytes.len - 1]);
}

static void golden(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char master[] = "TITLE: WHEEL\nFCM: NON-DROP FRAME\n\n"
                                 "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
                                 "* FROM CLIP NAME: HANDS\n* TALLWIDE RATE 48/1\n\n"
                                 "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
                                 "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
                                 "M2   B001           024.0                02:00:00:00\n"
                                 "003  A004     V     C        03:00:00:00 03:00:01:00 10:00:03:00 10:00:04:00\n"
                                 "003  A005     V     D    012 04:00:00:00 04:00:01:00 10:00:04:00 10:00:05:00\n"
                                 "* TO CLIP NAME: HUB";
    tw_timeline *timeline = tw_timeline_copy(arena, edl_read(arena, TW_STR(master), "24").timeline);
    frame_all(arena, timeline);
    tw_assert_text(written(arena, timeline),
                   "TITLE: WHEEL\nFCM: NON-DROP FRAME\n"
                   "* TALLWIDE DELIVERY tall 1080X1920 MASTER 0000000000000001 PLAN 0000000000000002\n\n"
                   "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
                   "* FROM CLIP NAME: HANDS\n"
                   "* TALLWIDE RATE 48/1\n"
                   "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
                   "* TALLWIDE KEY 0 X 0.000 Y 0.000 W 2430.000 EASE 0\n\n"
                   "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
                   "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
                   "M2   B001           024.0                02:00:00:00\n"
                   "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
                   "* TALLWIDE KEY 0 X 1.000 Y 0.000 W 2430.000 EASE 0\n"
                   "* TALLWIDE KEY 10 X 1.000 Y 0.000 W 2430.000 EASE 1\n"
                   "003  A004     V     C        03:00:00:00 03:00:01:00 10:00:03:00 10:00:04:00\n"
                   "003  A005     V     D    012 04:00:00:00 04:00:01:00 10:00:04:00 10:00:05:00\n"
                   "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
                   "* TALLWIDE KEY 0 X 3.000 Y 0.000 W 2430.000 EASE 0\n"
                   "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320 FROM\n"
                   "* TALLWIDE KEY 0 X 2.000 Y 0.000 W 2430.000 EASE 0\n"
                   "* TALLWIDE KEY 10 X 2.000 Y 0.000 W 2430.000 EASE 1\n"
                   "* TALLWIDE KEY 20 X 2.000 Y 0.000 W 2430.000 EASE 2\n"
                   "* TO CLIP NAME: HUB");
}

TW_SUITE(edl_keep)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(untouched_gives_the_same_bytes),
        TW_TEST(framed_and_stripped_gives_the_same_bytes),
        TW_TEST(ends_of_all_kinds),
        TW_TEST(ours_on_a_new_page),
        TW_TEST(plain_filter_without_last_end),
        TW_TEST(golden),
    };
    return tw_run("edl/edl_keep", tests);
}
