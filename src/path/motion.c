/* SPDX-License-Identifier: Apache-2.0
 *
 * Defaults of solver.md section 8: our proposals, but for the comfort speed (one picture width in 7 s at 24 fps and a
 * 180 degree shutter: the rule of thumb for camera panning).
 */
#include "path_internal.h"

static const double ladder[5] = {1.0 / 7, 0.25, 0.5, 1.0, 1.5};

#define LAZIEST 1e3 /* seconds: travel is all that counts by then */

static double given(double value, double otherwise)
{
    return value > 0 && isfinite(value) ? value : otherwise;
}

static size_t whole_frames(double seconds, double fps)
{
    double frames = floor(seconds * fps + 0.5);
    return frames < 1 ? 1 : frames > 1e9 ? (size_t)1e9 : (size_t)frames;
}

twi_motion twi_path_motion(const tw_path_job *job)
{
    const tw_path_params *p = &job->params;
    double fps = given(job->fps, 25);
    twi_motion m = {.fps = fps};
    for (size_t i = 0; i < 5; i++) {
        m.speeds[i] = given(p->speeds[i], ladder[i]) / fps;
        if (i > 0)
            m.speeds[i] = tw_max(m.speeds[i], m.speeds[i - 1]);
    }
    m.accel = given(p->accel, 3) / (fps * fps);
    m.ease = floor(given(p->ease, 0.3) * fps);
    double cross = given(p->move_time, 1.2) * fps;
    m.smoothness = cross * cross / 12;
    m.zoom = given(p->zoom, 0.1) / fps;
    m.lazy = p->lazy > 0 ? tw_min(p->lazy, LAZIEST) * fps : 0;
    m.link = whole_frames(given(p->link, 0.5), fps);
    m.hold = whole_frames(given(p->hold, 1), fps);
    return m;
}
