/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "otio/otio_cases.h"

#include <tallwide/otio.h>

#define CLIP(effects, markers, metadata)                                                                               \
    J_VIDEO(J_CLIP("rim", J_RANGE("0", "24", "24"),                                                                    \
                   "\"effects\":[" effects "],\"markers\":[" markers "],\"metadata\":{" metadata "},"))
#define WARP J_WARP("LinearTimeWarp.1", "2.0")
#define OWN "{\"OTIO_SCHEMA\":\"Effect.1\",\"effect_name\":\"blur\",\"metadata\":{\"house\":{\"metadata\":{\"a\":1}}}}"
#define MARK "{\"OTIO_SCHEMA\":\"Marker.2\",\"marked_range\":" J_RANGE("0", "1", "24") ",\"metadata\":{\"house\":1}}"

static void counted(void **state)
{
    static const struct {
        const char *text, *told; /* NULL: nothing */
    } rows[] = {
        {CLIP("", "", ""), NULL},
        {CLIP(WARP, "", "\"tallwide\":{\"a\":1}"), NULL},
        {CLIP("", "", "\"lab\":{\"reel\":\"A003\"},\"Tape\":\"A003\""), NULL},
        {CLIP("", "", "\"lab\":{\"reel\":\"A003\",\"take\":2}"), "1 clip's metadata"},
        {CLIP(OWN, "", ""), "1 effect"},
        {CLIP(OWN "," OWN "," WARP, MARK, "\"house\":{\"scene\":\"12\"}"),
         "2 effects, 1 clip's metadata, 1 marker's metadata"},
        {CLIP("", MARK "," MARK, "\"tallwide\":1,\"house\":2"), "1 clip's metadata, 2 markers' metadata"},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].told != NULL ? rows[i].told : "nothing");
        tw_arena *arena = tw_test_arena(state);
        tw_diags *unseen = tw_diags_new(arena), *diags = tw_diags_new(arena);
        const tw_read_options options = {.drop = false};
        tw_timeline *t;
        tw_status status = tw_format_otio.read(arena, tw_str_z(rows[i].text), TW_STR("t.otio"), &options, unseen, &t);
        assert_int_equal(status, TW_OK);
        tw_format_otio.beyond(t, diags);
        tw_str expected = rows[i].told == NULL
                              ? TW_STR("")
                              : tw_arena_printf(arena,
                                                "t.otio: warning TW1343: only OpenTimelineIO can carry what this file "
                                                "has more: %s\n",
                                                rows[i].told);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), expected.at != NULL ? expected.at : "");
    }
}

TW_SUITE(otio_beyond)
{
    const struct CMUnitTest tests[] = {TW_TEST(counted)};
    return tw_run("otio/otio_beyond", tests);
}
