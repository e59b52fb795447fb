/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include <stdlib.h>

#include "support/support.h"

/* Does every window lie inside the source, and how many frames cut a must region? From the keys alone. */
size_t lost_frames(const tw_path_job *job, const tw_path_result *r)
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

void check_sound(const tw_path_job *job, const tw_path_result *r)
{
    assert_true(r->key_count >= 1);
    lost_frames(job, r);
    assert_true(isfinite(r->peak_speed) && isfinite(r->peak_accel));
    for (size_t i = 0; i < r->compromise_count; i++) {
        const tw_path_compromise *c = &r->compromises[i];
        assert_true(isfinite(c->px) && c->px >= 0 && c->frames > 0 && c->frames <= job->frames);
        assert_true(c->first >= job->first_frame && c->first < job->first_frame + job->frames);
        assert_true(c->region == SIZE_MAX || c->region < job->region_count);
    }
}

size_t random_rounds(size_t full)
{
    return getenv("TW_LONG") != NULL ? full : getenv("TW_TEST_SHORT") != NULL ? full / 100 : full / 10;
}
