/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/report_internal.h"

#include <math.h>

/* What a browser shows at a frame: the values between two times, the share of the way by a cubic with control points
 * (1/3, a), (2/3, b) (SVG animation, calcMode spline). Its time runs evenly, since 3(1-s)^2 s/3 + 3(1-s) s^2 2/3 +
 * s^3 = s. At two points of one time the later one holds. */
static tw_window shown(const twi_motion *m, double frame)
{
    size_t i = m->len - 1;
    while (i > 0 && m->at[i].frame > frame)
        i--;
    if (i + 1 >= m->len || m->at[i + 1].frame <= m->at[i].frame)
        return m->at[i].win;
    double s = (frame - m->at[i].frame) / (m->at[i + 1].frame - m->at[i].frame);
    double way = 3 * m->at[i].rise[0] * s * (1 - s) * (1 - s) + 3 * m->at[i].rise[1] * s * s * (1 - s) + s * s * s;
    tw_window a = m->at[i].win, b = m->at[i + 1].win;
    return (tw_window){a.x + (b.x - a.x) * way, a.y + (b.y - a.y) * way, a.w + (b.w - a.w) * way,
                       a.h + (b.h - a.h) * way};
}

static double worst(const tw_framing *f, const twi_motion *m, int64_t first, int64_t frames)
{
    double most = 0;
    for (int64_t t = first; t < first + frames; t++) {
        tw_window path = tw_geom_key_window(tw_path_at(f->keys, f->key_count, (double)t), f->squeeze, f->delivery);
        tw_window seen = shown(m, (double)t);
        most = fmax(most, fmax(fabs(path.x - seen.x), fabs(path.y - seen.y)));
        most = fmax(most, fmax(fabs(path.w - seen.w), fabs(path.h - seen.h)));
    }
    return most;
}

static tw_framing framing_of(tw_key *keys, size_t count)
{
    return (tw_framing){
        .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = count};
}

/* Exact where the window goes one way (from or to rest, on along a line, back along it); else within the slack. */
static void corners(void **state)
{
    static const struct {
        const char *name;
        tw_key keys[3];
        size_t count, points;
        double slack;
    } rows[] = {
        {"rest, move, rest", {{24, 1215, 2160, 2430, 6}, {72, 4000, 2160, 2430, 6}}, 2, 6, 1e-9},
        {"on, faster", {{0, 1215, 2160, 2430, 0}, {48, 1500, 2160, 2430, 7}, {95, 4000, 2160, 2430, 0}}, 3, 5, 1e-9},
        {"there and back",
         {{0, 1215, 2160, 2430, 0}, {48, 4000, 2160, 2430, 7}, {95, 2000, 2160, 2430, 0}},
         3,
         6,
         1e-9},
        {"round a corner",
         {{0, 1215, 1900, 2025, 0}, {48, 4000, 1900, 2025, 7}, {95, 4000, 2300, 2430, 0}},
         3,
         0,
         0.25},
        {"a jump", {{47, 1215, 2160, 2430, 0}, {48, 4000, 2160, 2430, 0}}, 2, 0, 1e-9},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_key keys[3];
        for (size_t k = 0; k < rows[i].count; k++)
            keys[k] = rows[i].keys[k];
        const tw_framing f = framing_of(keys, rows[i].count);
        twi_motion m = twi_report_motion(tw_test_arena(state), &f, 0, 96);
        tw_assert_near(worst(&f, &m, 0, 96), 0, rows[i].slack);
        tw_assert_near(m.at[0].frame, 0, 0);
        tw_assert_near(m.at[m.len - 1].frame, 96, 0);
        if (rows[i].points > 0)
            assert_int_equal(m.len, rows[i].points);
    }
}

static void one_key_is_one_point(void **state)
{
    tw_key key = {.frame = 0, .cx = 2880, .cy = 2160, .w = 2430};
    const tw_framing f = framing_of(&key, 1);
    twi_motion m = twi_report_motion(tw_test_arena(state), &f, -12, 60);
    assert_int_equal(m.len, 1);
    assert_false(m.curved);
}

static size_t random_path(tw_rng *rng, tw_key *keys)
{
    size_t count = (size_t)tw_rng_between(rng, 2, 6);
    int64_t frame = tw_rng_between(rng, -20, 10);
    for (size_t k = 0; k < count; k++) {
        keys[k] = (tw_key){.frame = frame, .cx = 1215 + 3330 * tw_rng_unit(rng), .cy = 2160, .w = 2430};
        if (tw_rng_unit(rng) < 0.3) {
            keys[k].w = 2025;
            keys[k].cy = 1900 + 400 * tw_rng_unit(rng);
        }
        if (k > 0 && tw_rng_unit(rng) < 0.3)
            keys[k] = (tw_key){.frame = frame, .cx = keys[k - 1].cx, .cy = keys[k - 1].cy, .w = keys[k - 1].w};
        frame += tw_rng_between(rng, 2, 40);
    }
    for (size_t k = 1; k + 1 < count; k++) {
        int64_t before = keys[k].frame - keys[k - 1].frame, after = keys[k + 1].frame - keys[k].frame;
        keys[k].ease = (double)(before < after ? before : after) / 2 * tw_rng_unit(rng);
    }
    return count;
}

/* Any valid path, cut anywhere: also in the middle of a corner, as a through-edit is. */
static void any_path(void **state)
{
    tw_rng rng = {7};
    for (size_t i = 0; i < 500; i++) {
        tw_row(i, "random path");
        tw_key keys[6];
        const tw_framing f = framing_of(keys, random_path(&rng, keys));
        int64_t first = tw_rng_between(&rng, -30, 30), frames = tw_rng_between(&rng, 1, 150);
        twi_motion m = twi_report_motion(tw_test_arena(state), &f, first, frames);
        /* a jump is held until its frame; nothing else may be off by more than the slack */
        tw_assert_near(worst(&f, &m, first, frames), 0, TWI_MOTION_SLACK + 1e-9);
        for (size_t k = 1; k < m.len; k++)
            assert_true(m.at[k].frame >= m.at[k - 1].frame);
        for (size_t k = 0; k < m.len; k++) /* SVG: ordinates of splines in 0..1 */
            assert_true(m.at[k].rise[0] >= 0 && m.at[k].rise[1] <= 1 && m.at[k].rise[0] <= 1 && m.at[k].rise[1] >= 0);
    }
}

TW_SUITE(motion)
{
    const struct CMUnitTest tests[] = {TW_TEST(corners), TW_TEST(one_key_is_one_point), TW_TEST(any_path)};
    return tw_run("report/motion", tests);
}
