/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct figures {
    int seen, held, lost, hidden, ghosts; /* frames: it shows; IoU > 0.5; given up; it is away; claimed all the same */
    double error;                         /* mean distance of the middles, pixels */
} figures;

static void count(figures *f, const film_truth *t, const tw_spot *s)
{
    if (t->shown > 0.5) {
        f->seen++;
        f->held += film_overlap(t, s) > 0.5;
        f->lost += !(s->sure > 0);
        f->error +=
            hypot(s->left + s->width / 2 - t->left - t->width / 2, s->top + s->height / 2 - t->top - t->height / 2);
    } else if (t->shown < 0.1) {
        f->hidden++;
        f->ghosts += s->sure > 0;
    }
}

static figures play(tw_arena *arena, const film_kind *kind, uint64_t seed, int frames)
{
    film *made = film_new(arena, kind, seed);
    tw_pyramid p[2];
    uint8_t *px[2];
    figures f = {.error = 0};
    tw_follower *follower = NULL;
    tw_spot spot = {0, 0, 0, 0, 0};
    for (int i = 0; i < 2; i++) {
        px[i] = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
        tw_pyramid_init(arena, FILM_W, FILM_H, &p[i]);
    }
    for (int t = 0; t < frames; t++) {
        tw_pyramid *now = &p[t & 1], *before = &p[!(t & 1)];
        film_truth truth;
        film_draw(made, t, px[t & 1], &truth);
        tw_pyramid_fill(now, &(tw_plane){px[t & 1], FILM_W, FILM_H, FILM_W});
        if (t == 0) {
            spot = (tw_spot){truth.left, truth.top, truth.width, truth.height, 1};
            follower = tw_follower_new(arena, now, &spot);
            continue;
        }
        tw_camera camera = tw_camera_between(before, now, &spot, 1);
        spot = tw_follower_step(follower, before, now, &camera);
        count(&f, &truth, &spot);
    }
    f.error /= f.seen;
    return f;
}

/* Bounds: what these seeds showed, and some room; no source. */
static void films_are_followed(void **state)
{
    static const struct bound {
        const char *name;
        double held, error; /* least share of frames, most pixels */
        int lost, ghosts;   /* most frames */
    } bounds[] = {
        {"plain", 1, 1, 0, 0},  {"size", 1, 1, 0, 0},  {"turn", 1, 1, 0, 0},     {"light", 1, 1, 0, 0},
        {"blur", 1, 1.2, 0, 0}, {"noise", 1, 1, 0, 0}, {"hidden", 0.9, 8, 9, 0}, {"leaves", 0.9, 8, 8, 0},
        {"shake", 1, 1, 0, 0},  {"pan", 1, 1, 0, 0},   {"all", 1, 2, 0, 0},
    };
    for (size_t k = 0; k < film_kind_count; k++) {
        const struct bound *b = &bounds[k];
        assert_string_equal(b->name, film_kinds[k].name);
        tw_row(k, b->name);
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        figures f = play(arena, &film_kinds[k], k + 1, tw_test_short() ? 3 : FILM_FRAMES);
        tw_arena_free(&arena);
        assert_true(f.held >= b->held * f.seen);
        assert_true(f.error <= b->error);
        assert_true(f.lost <= b->lost);
        assert_true(f.ghosts <= b->ghosts);
    }
}

/* TW_LONG=1: five more seeds of each kind, as a table. Nine frames of ten must be held over all; no source. */
static void films_of_other_seeds(void **state)
{
    enum { SEEDS = 5 };
    figures all = {.error = 0};
    if (getenv("TW_LONG") == NULL)
        skip();
    printf("%-8s %6s %7s %9s %6s %7s %7s\n", "film", "frames", "held", "error px", "lost", "hidden", "claimed");
    for (size_t k = 0; k < film_kind_count; k++) {
        figures sum = {.error = 0};
        for (uint64_t seed = 0; seed < SEEDS; seed++) {
            tw_arena *arena = tw_arena_like(tw_test_arena(state));
            figures f = play(arena, &film_kinds[k], 1000 + 100 * k + seed, FILM_FRAMES);
            tw_arena_free(&arena);
            sum.seen += f.seen;
            sum.held += f.held;
            sum.lost += f.lost;
            sum.hidden += f.hidden;
            sum.ghosts += f.ghosts;
            sum.error += f.error / SEEDS;
        }
        printf("%-8s %6d %5.1f %% %9.2f %6d %7d %7d\n", film_kinds[k].name, sum.seen, 100.0 * sum.held / sum.seen,
               sum.error, sum.lost, sum.hidden, sum.ghosts);
        all.seen += sum.seen;
        all.held += sum.held;
    }
    assert_true(all.held * 10 >= all.seen * 9);
}

static void the_same_film_gives_the_same_bits(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    int frames = tw_test_short() ? 2 : 12;
    figures a = play(arena, &film_kinds[film_kind_count - 1], 7, frames);
    figures b = play(arena, &film_kinds[film_kind_count - 1], 7, frames);
    assert_memory_equal(&a.error, &b.error, sizeof a.error);
}

/* Nothing to hold on to: no error, and no claim. */
static void grey_is_no_subject(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, 128 * 128);
    tw_pyramid p;
    tw_camera still = TW_CAMERA_STILL;
    memset(px, 90, 128 * 128);
    tw_pyramid_init(arena, 128, 128, &p);
    tw_pyramid_fill(&p, &(tw_plane){px, 128, 128, 128});
    tw_spot box = {120, 50, 30, 30, 1}, s = box; /* half out of the picture, too */
    tw_follower *f = tw_follower_new(arena, &p, &box);
    for (int i = 0; i < 5; i++)
        s = tw_follower_step(f, &p, &p, &still);
    assert_true(s.sure == 0);
    assert_true(s.width > 0 && isfinite(s.left));
}

static void memory_stays(void **state)
{
    tw_arena *arena = tw_arena_like(tw_test_arena(state));
    play(arena, &film_kinds[0], 1, 2);
    size_t held = tw_arena_held(arena);
    tw_arena_free(&arena);
    arena = tw_arena_like(tw_test_arena(state));
    play(arena, &film_kinds[0], 1, tw_test_short() ? 3 : 40);
    assert_int_equal(tw_arena_held(arena), held);
    tw_arena_free(&arena);
}

TW_SUITE(follow)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(films_are_followed), TW_TEST(films_of_other_seeds), TW_TEST(the_same_film_gives_the_same_bits),
        TW_TEST(grey_is_no_subject), TW_TEST(memory_stays),
    };
    return tw_run("subject/follow", tests);
}
