/* SPDX-License-Identifier: Apache-2.0
 *
 * Is the number of eased keyframes the least there is? Short shots against all tuples of times, and of full, half and
 * quarter corners (solver.md section 5, claim 2; a shot counts where 4 keyframes do). Nothing of what decides here is
 * shared with the solver: the tube is worked out from the boxes, the eased path written down from its definition
 * (solver.md section 2), and whether there are values is asked of Seidel's linear programming in the few keyframes'
 * values. TW_LONG=1: 120 shots, else a tenth. It is in all of them, which is no proof: of the first 240 shots of the
 * seed one, number 239, has a keyframe more than need be, where one time and two corners would have to change at once.
 */
#include <tallwide/path.h>

#include <math.h>

#include "path/sound.h"
#include "support/support.h"

#define MOST 4     /* keyframes */
#define LONGEST 19 /* frames */
#define FAR 1e3
#define LINK 2
#define EASE 2

/* ---- linear programming in few unknowns -------------------------------------------------------------------- */

/* a'x <= b. */
typedef struct row {
    double a[MOST], b;
} row;

/* A row on the plane of another, without unknown `out`. */
static row on_plane(const row *r, const row *plane, size_t size, size_t out)
{
    double share = r->a[out] / plane->a[out];
    row other = {.b = r->b - share * plane->b};
    for (size_t i = 0, k = 0; i < size; i++)
        if (i != out)
            other.a[k++] = r->a[i] - share * plane->a[i];
    return other;
}

static bool on_a_line(const row *rows, size_t count, double *x)
{
    double lo = -FAR, hi = FAR;
    for (size_t i = 0; i < count; i++) {
        if (rows[i].a[0] > 1e-9)
            hi = fmin(hi, rows[i].b / rows[i].a[0]);
        else if (rows[i].a[0] < -1e-9)
            lo = fmax(lo, rows[i].b / rows[i].a[0]);
        else if (rows[i].b < -1e-9)
            return false;
    }
    *x = hi;
    return lo <= hi + 1e-9;
}

/* Seidel's method: where the best point so far breaks a row, the new one lies on that row's plane. What is best is of no
 * matter here: the far corner, then what the planes leave of it. */
static bool any_point(size_t size, const row *rows, size_t count, double *x)
{
    if (size == 1)
        return on_a_line(rows, count, x);
    for (size_t i = 0; i < size; i++)
        x[i] = FAR;
    for (size_t i = 0; i < count; i++) {
        double sum = -rows[i].b, y[MOST];
        size_t out = 0;
        for (size_t k = 0; k < size; k++) {
            sum += rows[i].a[k] * x[k];
            out = fabs(rows[i].a[k]) > fabs(rows[i].a[out]) ? k : out;
        }
        if (sum <= 1e-9)
            continue;
        if (fabs(rows[i].a[out]) < 1e-9)
            return false;
        row smaller[128];
        for (size_t k = 0; k < i; k++)
            smaller[k] = on_plane(&rows[k], &rows[i], size, out);
        if (!any_point(size - 1, smaller, i, y))
            return false;
        double rest = rows[i].b;
        for (size_t k = 0, from = 0; k < size; k++) {
            if (k == out)
                continue;
            x[k] = y[from++];
            rest -= rows[i].a[k] * x[k];
        }
        x[out] = rest / rows[i].a[out];
    }
    return true;
}

/* ---- eased paths ------------------------------------------------------------------------------------------- */

/* In window widths and frames. */
typedef struct shot {
    size_t n;
    double lo[LONGEST], hi[LONGEST], least, most, speed, accel;
} shot;

typedef struct corners {
    size_t count, t[MOST];
    double r[MOST];
} corners;

/* Adds factor * (slope of the link from key i to i + 1): nothing before the first key and after the last. */
static void add_slope(const corners *c, size_t i, double factor, double *a)
{
    if (i + 1 >= c->count)
        return;
    double share = factor / (double)(c->t[i + 1] - c->t[i]);
    a[i + 1] += share;
    a[i] -= share;
}

/* The change of slope at key i. */
static void add_bend(const corners *c, size_t i, double factor, double *a)
{
    add_slope(c, i, factor, a);
    if (i > 0)
        add_slope(c, i - 1, -factor, a);
}

static void eased_value(const corners *c, size_t t, double *a)
{
    size_t i = 0;
    while (i + 1 < c->count && c->t[i + 1] <= t)
        i++;
    a[i] += 1;
    if (t > c->t[i])
        add_slope(c, i, (double)(t - c->t[i]), a);
    for (i = 0; i < c->count; i++) {
        double inside = c->r[i] - fabs((double)t - (double)c->t[i]);
        if (inside > 0)
            add_bend(c, i, inside * inside / (4 * c->r[i]), a);
    }
}

/* -bound_lo <= a'x <= bound_hi as two rows. */
static size_t add_both(row *rows, size_t count, const double *a, double lo, double hi)
{
    rows[count].b = hi;
    rows[count + 1].b = -lo;
    for (size_t i = 0; i < MOST; i++) {
        rows[count].a[i] = a[i];
        rows[count + 1].a[i] = -a[i];
    }
    return count + 2;
}

/* Are there values for these keyframes, as far as frames before `end` go? The tube is wider by `slack`. */
static bool has_values(const shot *s, const corners *c, size_t end, double slack)
{
    row rows[128];
    double x[MOST];
    size_t count = 0;
    for (size_t i = 0; i < c->count; i++) {
        double own[MOST] = {0}, link[MOST] = {0}, bend[MOST] = {0};
        own[i] = 1;
        count = add_both(rows, count, own, s->least - slack, s->most + slack);
        add_slope(c, i, 1, link);
        add_bend(c, i, 1, bend);
        if (i + 1 < c->count)
            count = add_both(rows, count, link, -s->speed, s->speed);
        if (c->r[i] > 0)
            count = add_both(rows, count, bend, -2 * c->r[i] * s->accel, 2 * c->r[i] * s->accel);
    }
    for (size_t t = 0; t < end; t++) {
        double a[MOST] = {0};
        eased_value(c, t, a);
        count = add_both(rows, count, a, s->lo[t] - slack, s->hi[t] + slack);
    }
    return any_point(c->count, rows, count, x);
}

/* Corners of number i: full, half, quarter; at most half of either link, and no further than the shot's ends. */
static size_t corners_of(const shot *s, const corners *c, size_t i, double *r)
{
    double before = i > 0 ? (double)(c->t[i] - c->t[i - 1]) / 2 : (double)c->t[i];
    double after = i + 1 < c->count ? (double)(c->t[i + 1] - c->t[i]) / 2 : (double)(s->n - 1 - c->t[i]);
    size_t count = 0;
    for (int part = 1; part <= 4; part *= 2) {
        r[count] = floor(fmin((double)EASE / part, fmin(before, after)));
        if (count == 0 || r[count] != r[count - 1])
            count++;
    }
    return count;
}

static bool any_path(const shot *s, corners *c, size_t i, size_t keys, double slack);

/* All corners of the key before number i, whose time is given. The frames before i's own corner tell early. */
static bool any_corner_before(const shot *s, corners *c, size_t i, size_t keys, double slack)
{
    double r[3] = {0}, last[3];
    c->count = i + 1;
    size_t count = i > 0 ? corners_of(s, c, i - 1, r) : 1;
    for (size_t k = 0; k < count; k++) {
        c->count = i + 1;
        c->r[i] = 0;
        if (i > 0)
            c->r[i - 1] = r[k];
        if (!has_values(s, c, c->t[i] > EASE ? c->t[i] - EASE : 0, slack))
            continue;
        if (i + 1 < keys && any_path(s, c, i + 1, keys, slack))
            return true;
        size_t lasts = i + 1 < keys ? 0 : corners_of(s, c, i, last);
        for (size_t m = 0; m < lasts; m++) {
            c->r[i] = last[m];
            if (has_values(s, c, s->n, slack))
                return true;
        }
    }
    return false;
}

/* Times from number i on. */
static bool any_path(const shot *s, corners *c, size_t i, size_t keys, double slack)
{
    for (c->t[i] = i > 0 ? c->t[i - 1] + LINK : 0; c->t[i] < s->n; c->t[i]++)
        if (any_corner_before(s, c, i, keys, slack))
            return true;
    return false;
}

/* The fewest keyframes; MOST + 1: more than that. */
static size_t fewest(const shot *s, double slack)
{
    corners c;
    size_t keys = 1;
    while (keys <= MOST && !any_path(s, &c, 0, keys, slack))
        keys++;
    return keys;
}

/* ---- the shots ------------------------------------------------------------------------------------------- */

/* A box that wanders and jumps before a tall window of a wide source: x is free, y is not. */
static tw_path_job random_shot(tw_arena *arena, tw_rng *rng, shot *s)
{
    enum { SOURCE = 5760, WIDTH = 2430, FPS = 8 };
    size_t n = (size_t)tw_rng_between(rng, 14, LONGEST);
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, n);
    tw_path_region *region = TW_NEW(arena, tw_path_region);
    double half = (double)tw_rng_between(rng, 600, 1180), middle = (double)tw_rng_between(rng, 1600, 4100), drift = 0;
    *s = (shot){
        .n = n, .least = 0.5, .most = (double)SOURCE / WIDTH - 0.5, .speed = 1.5 / FPS, .accel = 3.0 / (FPS * FPS)};
    for (size_t t = 0; t < n; t++) {
        if (tw_rng_between(rng, 0, 4) == 0)
            drift = (double)tw_rng_between(rng, -250, 250);
        middle = fmin(fmax(middle + drift + (double)tw_rng_between(rng, -40, 40), half), SOURCE - half);
        boxes[t] = (tw_path_box){middle - half, 1000, middle + half, 2000};
        s->lo[t] = fmax((middle + half) / WIDTH - 0.5, s->least);
        s->hi[t] = fmin((middle - half) / WIDTH + 0.5, s->most);
    }
    *region = (tw_path_region){.boxes = boxes, .must = true, .weight = 1};
    return (tw_path_job){.frames = (int64_t)n,
                         .fps = FPS,
                         .source = {SOURCE, 4320},
                         .delivery = {1080, 1920},
                         .squeeze = 1,
                         .max_scale = 1,
                         .regions = region,
                         .region_count = 1,
                         .params = {.link = 0.25, .ease = 0.3, .no_settle = true}};
}

/* What rounding to written digits may decide. */
#define DIGIT 1e-6

static void least_there_is(void **state)
{
    tw_rng rng = {1419};
    size_t rounds = random_rounds(120), decided = 0, moving = 0, below = 0;
    (void)state;
    for (size_t round = 0; round < rounds; round++) {
        tw_row(round, "shot of seed 1419");
        tw_arena *arena = tw_arena_new(NULL, NULL);
        shot s;
        tw_path_result r;
        tw_path_job job = random_shot(arena, &rng, &s);
        tw_path_solve(arena, &job, &r);
        size_t least = fewest(&s, DIGIT), most = fewest(&s, -DIGIT);
        if (most <= MOST) {
            assert_true(r.key_count >= least);
            assert_true(r.key_count <= most);
            decided++;
            moving += least > 1;
            below += least < r.fewest;
        }
        tw_arena_free(&arena);
    }
    print_message("fewest eased keyframes: %zu of %zu shots decided; %zu move, %zu need one less than straight lines\n",
                  decided, rounds, moving, below);
    assert_true(moving > rounds / 3);
}

/* A triangle x + y <= 4, x >= 1, y >= 2 has points; with y >= 4 it has none. */
static void linear_programming(void **state)
{
    (void)state;
    double x[MOST];
    row rows[] = {{{1, 1}, 4}, {{-1, 0}, -1}, {{0, -1}, -2}};
    assert_true(any_point(2, rows, 3, x));
    assert_true(x[0] + x[1] <= 4 + 1e-9 && x[0] >= 1 - 1e-9 && x[1] >= 2 - 1e-9);
    rows[2].b = -4;
    assert_false(any_point(2, rows, 3, x));
}

TW_SUITE(brute)
{
    const struct CMUnitTest tests[] = {TW_TEST(linear_programming), TW_TEST(least_there_is)};
    return tw_run("path/brute", tests);
}
