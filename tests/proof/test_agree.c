/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "proof/scene.h"

typedef struct change {
    const char *name;
    double x, w, ease;
    int64_t frame, shift;
    tw_frame_mode mode;
    bool missing;
    const char *said; /* NULL: they agree */
} change;

/* Half of a last digit of three decimals is 0.0005. */
static const change changes[] = {
    {"the same", 0, 0, 0, 0, 0, TW_FRAME_FILL, false, NULL},
    {"within half a digit", 0.0004, 0, 0, 0, 0, TW_FRAME_FILL, false, NULL},
    {"a digit off", 0.001, 0, 0, 0, 0, TW_FRAME_FILL, false, "the window at frame 5"},
    {"width a digit off", 0, 0.001, 0, 0, 0, TW_FRAME_FILL, false, "the window at frame 5"},
    {"another corner", 0, 0, 1, 0, 0, TW_FRAME_FILL, false, "the window at frame 5"},
    {"a frame later", 0, 0, 0, 1, 0, TW_FRAME_FILL, false, "key 1 is at frame 5 against 6"},
    {"counted from another first frame", 0, 0, 0, -3, 3, TW_FRAME_FILL, false, NULL},
    {"shown whole", 0, 0, 0, 0, 0, TW_FRAME_FIT, false, "the kind of framing"},
    {"none", 0, 0, 0, 0, 0, TW_FRAME_FILL, true, "a framing against none"},
};

static void differences(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item clip = hand_clip("A003", 0, 0, 50), other = clip;
    tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
    scene s;
    scene_make(&s, hand_timeline(arena, &track, 1));
    const tw_proof_file files[] = {{.name = TW_STR("a.edl")}, {.name = TW_STR("a.otio")}};
    s.in.files = files;
    s.in.file_count = 2;
    twi_sight sight;
    twi_proof_look(arena, &s.plan, s.master, &sight);
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        const change *c = &changes[i];
        tw_key a[] = {scene_key(5, 100, 0, 2000), scene_key(30, 200, 0, 2000)}, b[] = {a[0], a[1]};
        b[0].cx += c->x + c->w / 2; /* the left edge moves by x alone */
        b[0].cy += c->w * 1920 / 1080 / 2;
        b[0].w += c->w;
        b[0].ease += c->ease;
        b[0].frame += c->frame;
        b[1].frame += c->shift != 0 ? c->frame : 0;
        tw_framing fa = scene_framing(a, 2), fb = scene_framing(b, 2);
        fb.mode = c->mode;
        clip.framing = &fa;
        other.framing = c->missing ? NULL : &fb;
        twi_twin ta = {&clip, 0}, tb = {&other, c->shift};
        twi_twin *const twins[] = {&ta, &tb};
        tw_diags *diags = tw_diags_new(arena);
        tw_row(i, c->name);
        twi_proof_agree(arena, &s.in, &sight, twins, diags);
        assert_int_equal(tw_diags_count(diags, TW_ERROR), c->said != NULL ? 1 : 0);
        if (c->said != NULL)
            assert_non_null(strstr(tw_findings(arena, diags), c->said));
    }
}

TW_SUITE(agree)
{
    const struct CMUnitTest tests[] = {TW_TEST(differences)};
    return tw_run("proof/agree", tests);
}
