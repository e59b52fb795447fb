/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/good.h"

static void text(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_proof proofs[] = {good, good, good};
    proofs[1].ok = proofs[1].cut_unchanged = false;
    proofs[1].outside_frames = proofs[1].over_scale_frames = 1;
    proofs[1].must_held_frames = 4000;
    proofs[1].worst_cut_px = 12.34;
    proofs[1].moving = proofs[1].not_framed = 0;
    proofs[1].must_forced_frames = 98;
    proofs[1].must_by_hand_frames = 1;
    proofs[2].must_held_frames = 4099;
    proofs[2].must_forced_frames = 1;
    proofs[2].warnings = 2;
    tw_buf out = {.arena = arena};
    tw_proof_write_text(proofs, 3, &out);
    tw_assert_text(tw_buf_str(&out), "tall: proved\n"
                                     "  shots  42, 5310 frames; 9 moving, 61 keys; 3 not framed yet\n"
                                     "  cut    as in the master\n"
                                     "  edges  none shown\n"
                                     "  must   held in 4100 of 4100 frames\n"
                                     "  scale  at most 0.889\n"
                                     "  moves  at most 0.143 window widths a second\n"
                                     "  gains  at most 0.80 of these a second\n"
                                     "\n"
                                     "tall: NOT proved; must is cut in 100 frames\n"
                                     "  shots  42, 5310 frames; 0 moving, 61 keys\n"
                                     "  cut    CHANGED (`tallwide compare` of both tells how)\n"
                                     "  edges  shown in 1 frame\n"
                                     "  must   held in 4000 of 4100 frames, worst cut 12.3 px\n"
                                     "         in 98 frames no window of this shape holds it\n"
                                     "         in 1 frame a window set by hand cuts it\n"
                                     "         in 1 frame this shape could hold it\n"
                                     "  scale  at most 0.889; past the limit in 1 frame\n"
                                     "  moves  none\n"
                                     "\n"
                                     "tall: proved; must is cut in 1 frame; 2 warnings\n"
                                     "  shots  42, 5310 frames; 9 moving, 61 keys; 3 not framed yet\n"
                                     "  cut    as in the master\n"
                                     "  edges  none shown\n"
                                     "  must   held in 4099 of 4100 frames, worst cut 0.0 px\n"
                                     "         in 1 frame no window of this shape holds it\n"
                                     "  scale  at most 0.889\n"
                                     "  moves  at most 0.143 window widths a second\n"
                                     "  gains  at most 0.80 of these a second\n");
}

TW_SUITE(tell)
{
    const struct CMUnitTest tests[] = {TW_TEST(text)};
    return tw_run("proof/tell", tests);
}
