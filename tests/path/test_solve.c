/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "path/motions.h"
#include "support/support.h"

/* Does every window lie inside the source, and how many frames cut a must region? From the keys alone. */
static size_t lost_frames(const tw_path_job *job, const tw_path_result *r)
{
    size_t lost = 0;
    assert_true(tw_path_valid(r->keys, r->key_count, NULL));
    for (int64_t t = 0; t < job->frames; t++) {
        tw_key key = tw_path_at(r->keys, r->key_count, (double)(job->first_frame + t));
        tw_window win = tw_geom_key_window(key, job->squeeze, job->delivery);
        assert_true(tw_geom_inside(win, job->source, 1e-6));
        bool cut = false;
        for (size_t i = 0; i < job->region_count; i++) {
            const tw_path_box *b = &job->regions[i].boxes[t];
            if (!job->regions[i].must || !(b->right > b->left))
                continue;
            tw_cut c = tw_geom_cut(win, fmax(b->left, 0), fmax(b->top, 0), fmin(b->right, job->source.w),
                                   fmin(b->bottom, job->source.h));
            cut = cut || fmax(fmax(c.left, c.right), fmax(c.top, c.bottom)) > TWI_HELD;
        }
        lost += cut;
    }
    return lost;
}

static void twelve_motions(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < motion_count; i++) {
        tw_row(i, motions[i].name);
        tw_path_job job;
        tw_path_result r;
        motion_job(arena, i, &job);
        tw_path_solve(arena, &job, &r);
        if (r.fewest - r.eliminated > motions[i].most_fewest || r.key_count > motions[i].most_keys)
            fail_msg("%s: %zu fewest, %zu keys", motions[i].name, r.fewest, r.key_count);
        size_t lost = lost_frames(&job, &r);
        if (motions[i].held && !job.regions[0].detector && lost > 0)
            fail_msg("%s: %zu frames lost", motions[i].name, lost);
    }
}

TW_SUITE(solve)
{
    const struct CMUnitTest tests[] = {TW_TEST(twelve_motions)};
    return tw_run("path/solve", tests);
}
