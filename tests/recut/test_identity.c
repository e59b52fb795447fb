/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/versions.h"

#include "recut/recut_internal.h"

static void spellings(void **state)
{
    static const struct {
        const char *name, *spelling;
    } rows[] = {
        {"A003", "a003"},
        {"a_003", "a003"},
        {"/media/day 2/A003.mov", "a003"},
        {"C:\\day2\\A003.MXF", "a003"},
        {"A003.C001", "a003c001"}, /* not an extension: too many digits */
        {"A003.C002", "a003c002"},
        {"hub.[1001-1020].exr", "hub"},
        {"hub.%04d.dpx", "hub"},
        {"hub.####.tif", "hub"},
        {"\xC3\xA9t\xC3\xA9 1", "\xC3\xA9t\xC3\xA9"
                                "1"},
        {"---", "---"},
        {".mov", "mov"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(twi_recut_spelling(tw_test_arena(state), tw_str_z(rows[i].name)), rows[i].spelling);
    }
}

/* One shot of each version: are they the same material? */
static void same_material(void **state)
{
    static const struct {
        const char *what, *old_reel, *old_name, *new_reel, *new_name;
        bool same;
    } rows[] = {
        {"case", "A003", "", "a003", "", true},
        {"a path and an extension", "A003", "", "/media/A003.mov", "", true},
        {"cut to eight characters", "WHEELBUI", "", "WHEELBUILDER_A003", "", true},
        {"the other way round", "WHEELBUILDER_A003", "", "WHEELBUI", "", true},
        {"seven characters are no cut", "WHEELBU", "", "WHEELBUILDER_A003", "", false},
        {"another reel", "A003", "", "A004", "", false},
        {"renamed reel, same file name besides", "001", "spokes_03.mov", "TAPE7", "spokes_03.mov", true},
        {"AX says nothing, the clip name does", "AX", "LOGO", "AX", "LOGO", true},
        {"AX with other clips", "AX", "LOGO", "AX", "TITLE", false},
        {"black is black", "BL", "", "BLACK", "", true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        const row_shot a[] = {{rows[i].old_reel, 100, 10, 1}}, b[] = {{rows[i].new_reel, 100, 10, 1}};
        tw_timeline *x = VERSION(arena, a), *y = VERSION(arena, b);
        x->tracks[0].items[0].name = tw_str_z(rows[i].old_name);
        y->tracks[0].items[0].name = tw_str_z(rows[i].new_name);
        const tw_alignment *al = tw_recut_align(arena, x, y);
        tw_row(i, rows[i].what);
        assert_int_equal(al->olds[0].media == al->news[0].media, rows[i].same);
    }
}

/* A name both versions have is never taken for another. */
static void known_names_stay_apart(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot a[] = {{"WHEELBUI", 100, 10, 1}, {"WHEELBUILDER", 100, 10, 1}};
    const row_shot b[] = {{"WHEELBUI", 100, 10, 1}, {"WHEELBUILDER", 100, 10, 1}};
    const tw_alignment *al = tw_recut_align(arena, VERSION(arena, a), VERSION(arena, b));
    assert_int_not_equal(al->olds[0].media, al->olds[1].media);
    assert_int_equal(al->olds[1].media, al->news[1].media);
}

/* Sound, gaps and clips without length are no shots. */
static void what_is_a_shot(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item picture[] = {hand_clip("A003", 0, 100, 10), hand_gap(10, 5), hand_clip("A003", 15, 100, 0)};
    tw_item sound[] = {hand_clip("A003", 0, 100, 10)};
    tw_track tracks[] = {hand_track(TW_TRACK_VIDEO, picture, 3), hand_track(TW_TRACK_AUDIO, sound, 1)};
    tw_timeline *t = hand_timeline(arena, tracks, 2);
    const tw_alignment *al = tw_recut_align(arena, t, t);
    assert_int_equal(al->old_count, 1);
    assert_ptr_equal(al->olds[0].item, &picture[0]);
}

TW_SUITE(identity)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(spellings),
        TW_TEST(same_material),
        TW_TEST(known_names_stay_apart),
        TW_TEST(what_is_a_shot),
    };
    return tw_run("recut/identity", tests);
}
