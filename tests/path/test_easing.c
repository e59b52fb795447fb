/* SPDX-License-Identifier: Apache-2.0
 *
 * Numbers of the easing shapes (solver.md section 4), searched for numerically. Those of straight lines with eased
 * corners, of the smooth step and of the one-sided ease are measured on paths as tw_path_at and tw_path_at_form play
 * them; cosine and quintic, which other programs make of two keys, on their formulas.
 */
#include <tallwide/path.h>

#include <math.h>

#include "support/support.h"

#define FRAMES 3000 /* of a move from 0 to 1 */
static const double pi = 3.14159265358979323846;

/* A shape on [0, 1]; `ramp`: share of the time its parabolas take, where it has any. */
typedef struct shape {
    const char *name;
    double (*at)(const struct shape *s, double u);
    double ramp;
    double deviation, where, speed, accel; /* `where`: the first place of the largest deviation */
} shape;

/* Two keys with corners that touch the ends of the move: rest, constant speed, rest. */
static double eased(const shape *s, double u)
{
    int64_t r = (int64_t)(s->ramp * FRAMES / 2 + 0.5);
    const tw_key keys[] = {{r, 0, 0, 1, (double)r}, {FRAMES - r, 1, 0, 1, (double)r}};
    return tw_path_at(keys, 2, u * FRAMES).cx;
}

/* One corner from one key to the other: a cubic between rests. */
static double smooth_step(const shape *s, double u)
{
    (void)s;
    const tw_key keys[] = {{0, 0, 0, 1, FRAMES / 2}, {FRAMES, 1, 0, 1, 0}};
    return tw_path_at_form((tw_path_view){keys, 2}, TW_PATH_BEZIER, u * FRAMES).cx;
}

/* A corner that ends in a straight line of the mean speed. */
static double one_sided(const shape *s, double u)
{
    (void)s;
    const tw_key keys[] = {{0, 0, 0, 1, FRAMES / 2}, {FRAMES, 1, 0, 1, 0}, {2 * FRAMES, 2, 0, 1, 0}};
    return tw_path_at_form((tw_path_view){keys, 3}, TW_PATH_BEZIER, u * FRAMES).cx;
}

static double cosine(const shape *s, double u)
{
    (void)s;
    return (1 - cos(pi * u)) / 2;
}

static double quintic(const shape *s, double u)
{
    (void)s;
    return u * u * u * (10 + u * (6 * u - 15));
}

/* ---- derivatives ----------------------------------------------------------------------------------------- */

/* Exact for parabolas and lines; where they meet a mean of both sides, never more than the larger. */
static double plain_speed(const shape *s, double u)
{
    const double h = 1e-2;
    return (s->at(s, u + h) - s->at(s, u - h)) / (2 * h);
}

static double plain_accel(const shape *s, double u)
{
    const double h = 1e-2;
    return (s->at(s, u + h) - 2 * s->at(s, u) + s->at(s, u - h)) / (h * h);
}

/* Errors of h^4 times the fifth and sixth derivative: none for cubics. */
static double fine_speed(const shape *s, double u)
{
    const double h = 1e-3;
    return (8 * (s->at(s, u + h) - s->at(s, u - h)) - s->at(s, u + 2 * h) + s->at(s, u - 2 * h)) / (12 * h);
}

static double fine_accel(const shape *s, double u)
{
    const double h = 2e-3;
    return (16 * (s->at(s, u + h) + s->at(s, u - h)) - 30 * s->at(s, u) - s->at(s, u + 2 * h) - s->at(s, u - 2 * h)) /
           (12 * h * h);
}

static double deviation(const shape *s, double u)
{
    return fabs(s->at(s, u) - u);
}

/* ---- searching ------------------------------------------------------------------------------------------- */

typedef double measure(const shape *s, double u);

/* The largest absolute value on [from, to]: the best of a grid, then golden section around it. */
static double largest(const shape *s, measure *f, double from, double to)
{
    double at = from, most = 0, step = (to - from) / 2000;
    for (int i = 0; i <= 2000; i++) {
        double u = from + i * step, value = fabs(f(s, u));
        if (value > most) {
            most = value;
            at = u;
        }
    }
    double low = fmax(from, at - step), high = fmin(to, at + step), golden = (sqrt(5) - 1) / 2;
    while (high - low > 1e-9) {
        double a = high - golden * (high - low), b = low + golden * (high - low);
        if (fabs(f(s, a)) > fabs(f(s, b)))
            high = b;
        else
            low = a;
    }
    return fmax(most, fabs(f(s, (low + high) / 2)));
}

/* Where the shape first leaves the straight line no further: its speed is the mean's there. */
static double turning(const shape *s, measure *speed, double from, double to)
{
    while (to - from > 1e-13) {
        double middle = (from + to) / 2;
        if (speed(s, middle) < 1)
            from = middle;
        else
            to = middle;
    }
    return from;
}

/* The acceleration of a cubic is a straight line: at its ends as it goes there. */
static double cubic_accel(const shape *s, double u)
{
    double at = fine_accel(s, 0.25), other = fine_accel(s, 0.75);
    return at + (other - at) * (u - 0.25) * 2;
}

/* solver.md section 4, as derived there: of smooth steps e - u = -u(1 - u)(1 - 2u), of one-sided ones -u(1 - u)^2, of
 * ramps share ramp(1 - ramp)/2 at ramp(1 - ramp); of the cosine where sin(pi u) = 2 / pi; of the quintic where
 * 30 u^2 (1 - u)^2 = 1. */
static void numbers_of_shapes(void **state)
{
    (void)state;
    const double s3 = sqrt(3), u_cosine = asin(2 / pi) / pi, u_quintic = (1 - sqrt(1 - 4 / sqrt(30))) / 2;
    const shape rows[] = {
        {"smooth step", smooth_step, 0, s3 / 18, (3 - s3) / 6, 1.5, 6},
        {"one-sided", one_sided, 0, 4.0 / 27, 1.0 / 3, 4.0 / 3, 4},
        {"parabolas", eased, 1.0 / 2, 1.0 / 8, 1.0 / 4, 2, 4},
        {"ramps of 0.1", eased, 0.1, 0.1 * 0.9 / 2, 0.1 * 0.9, 1 / 0.9, 1 / (0.1 * 0.9)},
        {"ramps of 0.292", eased, 0.292, 0.292 * 0.708 / 2, 0.292 * 0.708, 1 / 0.708, 1 / (0.292 * 0.708)},
        {"cosine", cosine, 0, u_cosine - (1 - cos(pi * u_cosine)) / 2, u_cosine, pi / 2, pi * pi / 2},
        {"quintic", quintic, 0, u_quintic - quintic(NULL, u_quintic), u_quintic, 1.875, 10 / s3},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const shape *s = &rows[i];
        bool ramps = s->at == eased, cubic = s->at == smooth_step || s->at == one_sided;
        measure *speed = ramps ? plain_speed : fine_speed;
        tw_row(i, s->name);
        tw_assert_near(largest(s, deviation, 0, 1), s->deviation, 1e-9);
        tw_assert_near(turning(s, speed, 0.03, 0.49), s->where, 1e-9);
        /* Along a ramp the speed grows in proportion to time, up to its end. */
        tw_assert_near(ramps ? 2 * speed(s, s->ramp / 2) : largest(s, speed, 0.02, 0.98), s->speed, 1e-9);
        if (ramps && s->ramp < 0.5)
            tw_assert_near(largest(s, speed, 0.02, 0.98), s->speed, 1e-9);
        tw_assert_near(largest(s,
                               ramps   ? plain_accel
                               : cubic ? cubic_accel
                                       : fine_accel,
                               cubic ? 0 : 0.02, 1),
                       s->accel, 1e-9);
    }
    /* The digits of the table, but for the last of 0.2402: u(1 - u) = 1 / sqrt(30) is at 0.24034. */
    tw_assert_near(rows[5].deviation, 0.105257, 5e-7);
    tw_assert_near(rows[5].where, 0.2197, 5e-5);
    tw_assert_near(rows[6].deviation, 0.146749, 5e-7);
    tw_assert_near(rows[6].where, 0.2403, 5e-5);
}

/* A move between rests, and the smooth step over the same time, corners and all (solver.md section 2). */
static double apart(const shape *s, double u)
{
    return s->at(s, u) - smooth_step(s, u);
}

static void one_curve_for_a_move(void **state)
{
    (void)state;
    const shape rows[] = {{.at = eased, .ramp = 0.292}, {.at = eased, .ramp = 1.0 / 3}, {.at = eased, .ramp = 0.5}};
    const double off[] = {0.0073, 0.0156, 0.0370};
    for (size_t i = 0; i < 3; i++) {
        tw_row(i, "ramp share");
        tw_assert_near(largest(&rows[i], apart, 0, 1), off[i], 5e-5);
    }
}

TW_SUITE(easing)
{
    const struct CMUnitTest tests[] = {TW_TEST(numbers_of_shapes), TW_TEST(one_curve_for_a_move)};
    return tw_run("path/easing", tests);
}
