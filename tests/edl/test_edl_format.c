/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

static void probes(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int sure;
    } rows[] = {
        {"TITLE: WHEEL\n", 80},
        {"\n\nFCM: NON-DROP FRAME\n", 80},
        {"001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n", 90},
        {"* FROM CLIP NAME: HANDS\n", 40},
        {"{\"OTIO_SCHEMA\": \"Timeline.1\"}", 0},
        {"Dear all,\nthe wheel is done.\n", 0},
        {"", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        assert_int_equal(tw_format_edl.probe(tw_str_z(rows[i].text)), rows[i].sure);
    }
}

static void parts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline = tw_timeline_new(arena);
    assert_int_equal(tw_format_edl.parts(timeline), 1);
    timeline->tracks = TW_NEW_N(arena, tw_track, 3);
    timeline->track_count = 3;
    timeline->tracks[2].kind = TW_TRACK_AUDIO;
    assert_int_equal(tw_format_edl.parts(timeline), 2);
}

TW_SUITE(edl_format)
{
    const struct CMUnitTest tests[] = {TW_TEST(probes), TW_TEST(parts)};
    return tw_run("edl/edl_format", tests);
}
