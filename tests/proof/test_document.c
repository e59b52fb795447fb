/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "proof/names.h"
#include "proof/scene.h"

/* What only the document tells: its own name here. Framing is no difference. */
static void its_own_name(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A", 0, 100, 50)}, b[] = {a[0]};
    tw_key key = scene_key(0, 0, 0, 2430);
    tw_framing framing = scene_framing(&key, 1);
    b[0].framing = &framing;
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 1), tb = hand_track(TW_TRACK_VIDEO, b, 1);
    tw_timeline *master = with_format(hand_timeline(arena, &ta, 1)),
                *written = with_format(hand_timeline(arena, &tb, 1));
    scene s;
    scene_make(&s, master);
    const tw_proof_file file = {.name = TW_STR("written"), .written = written};
    tw_diags *diags = tw_diags_new(arena);
    twi_proof_document(arena, &s.in, &file, diags);
    assert_int_equal(tw_diags_count(diags, TW_ERROR), 0);
    written->name = TW_STR("other");
    twi_proof_document(arena, &s.in, &file, diags);
    assert_non_null(strstr(tw_findings(arena, diags), "written:1: error TW1714"));
}

TW_SUITE(document)
{
    const struct CMUnitTest tests[] = {TW_TEST(its_own_name)};
    return tw_run("proof/document", tests);
}
