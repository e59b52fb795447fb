/* SPDX-License-Identifier: Apache-2.0
 *
 * From what was seen of a framing to findings and numbers.
 */
#include "proof_internal.h"

#include <math.h>
#include <string.h>

typedef struct judging {
    tw_arena *scratch;
    const twi_view *view;
    const tw_proof_file *file;
    tw_place place;
    tw_str who; /* delivery and clip, for the head of a sentence */
    twi_told *told;
    tw_diags *diags;
} judging;

/* The same fault in the other format of a delivery need not be told again. */
static bool first_time(const judging *j, int code)
{
    uint64_t bit = UINT64_C(1) << (code - 1700);
    bool first = (j->told->codes & bit) == 0;
    j->told->codes |= bit;
    return first;
}

static tw_str at_frame(const judging *j, int64_t frame)
{
    const tw_timeline *m = j->view->in->master;
    const twi_seen *shot = j->view->shot;
    double far = tw_clamp((double)frame * shot->spot.step, -1e15, 1e15); /* no edit is as long */
    int64_t record = shot->spot.place + (int64_t)floor(far + 0.5);
    tw_str label = tw_tc_text(j->scratch, record, m->rate, m->drop);
    return tw_arena_printf(j->scratch, "frame %lld of the clip (record %s)", (long long)frame, label.at);
}

static tw_str number(const judging *j, double value, int places)
{
    tw_buf text = {.arena = j->scratch};
    tw_buf_add_fixed(&text, value, places);
    return tw_buf_str(&text);
}

/* A clip without an event number is told by where it sits. */
static tw_str name_shot(const judging *j, const tw_item *clip)
{
    const tw_timeline *m = j->view->in->master;
    tw_str delivery = j->view->in->plan->deliveries[j->view->in->delivery].name;
    tw_str name = twi_proof_name(j->scratch, clip);
    if (clip->event.len > 0)
        return tw_arena_printf(j->scratch, "%.*s, %.*s", TW_ARG(delivery), TW_ARG(name));
    tw_str label = tw_tc_text(j->scratch, j->view->shot->spot.begins, m->rate, m->drop);
    return tw_arena_printf(j->scratch, "%.*s, %.*s at %s", TW_ARG(delivery), TW_ARG(name), label.at);
}

/* ---- findings -------------------------------------------------------------------------------------------- */

static void tell_edges(const judging *j, const twi_showing *s)
{
    int64_t own = s->outside - s->outside_by_hand;
    if (own > 0 && first_time(j, 1701))
        tw_diag_add(j->diags, 1701, &j->place,
                    "%.*s: the window leaves the picture by up to %.*s px in %lld frame%s, first at %.*s",
                    TW_ARG(j->who), TW_ARG(number(j, s->outside_px, 3)), (long long)own, TW_PLURAL(own),
                    TW_ARG(at_frame(j, s->outside_first)));
    if (s->outside_by_hand > 0 && first_time(j, 1729))
        tw_diag_add(j->diags, 1729, &j->place, "%.*s: the window set by hand leaves the picture in %lld frame%s",
                    TW_ARG(j->who), (long long)s->outside_by_hand, TW_PLURAL(s->outside_by_hand));
}

static void tell_scale(const judging *j, const twi_showing *s)
{
    double limit = j->view->in->plan->deliveries[j->view->in->delivery].max_scale;
    int64_t own = s->over - s->over_by_hand;
    if (own > 0 && first_time(j, 1702))
        tw_diag_add(j->diags, 1702, &j->place,
                    "%.*s: scale %.*s where %.*s is the limit, in %lld frame%s, first at %.*s", TW_ARG(j->who),
                    TW_ARG(number(j, s->max_scale, 3)), TW_ARG(number(j, limit, 3)), (long long)own, TW_PLURAL(own),
                    TW_ARG(at_frame(j, s->over_first)));
    if (s->over_by_hand > 0 && first_time(j, 1730))
        tw_diag_add(j->diags, 1730, &j->place,
                    "%.*s: the window set by hand is past the limit of scale in %lld frame%s", TW_ARG(j->who),
                    (long long)s->over_by_hand, TW_PLURAL(s->over_by_hand));
    if (s->small && first_time(j, 1725))
        tw_diag_add(j->diags, 1725, &j->place,
                    "%.*s: the picture is too small to fill the delivery within the limit: %s%.*s%s", TW_ARG(j->who),
                    s->max_scale > 1 ? "enlarged " : "scale ", TW_ARG(number(j, s->max_scale, 3)),
                    s->max_scale > 1 ? " times" : "");
}

static const char *side_of(char side)
{
    return side == 'l' ? "on the left" : side == 'r' ? "on the right" : side == 't' ? "at the top" : "at the bottom";
}

static void tell_lost(const judging *j, const twi_hold *hold, const twi_lost *lost)
{
    tw_str px = number(j, lost->px, 1);
    if (lost->frames > 0)
        tw_diag_add(
            j->diags, 1723, &j->place,
            "%.*s: %.*s (must, note %.*s) is cut by up to %.*s px %s in %lld frame%s in which the shape could hold "
            "it, first at %.*s",
            TW_ARG(j->who), TW_ARG(hold->region->name), TW_ARG(hold->note->id), TW_ARG(px), side_of(lost->side),
            (long long)lost->frames, TW_PLURAL(lost->frames), TW_ARG(at_frame(j, lost->first)));
    if (lost->forced > 0)
        tw_diag_add(
            j->diags, 1724, &j->place,
            "%.*s: %.*s (must, note %.*s) cannot be held in %lld frame%s: it, or all that must be seen with it, is "
            "larger than the widest window; cut by up to %.*s px %s",
            TW_ARG(j->who), TW_ARG(hold->region->name), TW_ARG(hold->note->id), (long long)lost->forced,
            TW_PLURAL(lost->forced), TW_ARG(px), side_of(lost->side));
    if (lost->by_hand > 0)
        tw_diag_add(j->diags, 1731, &j->place,
                    "%.*s: the window set by hand cuts %.*s (must, note %.*s) by up to %.*s px in %lld frame%s",
                    TW_ARG(j->who), TW_ARG(hold->region->name), TW_ARG(hold->note->id), TW_ARG(px),
                    (long long)lost->by_hand, TW_PLURAL(lost->by_hand));
}

/* Not a loss: what a detector says of single frames is not what must be held. */
static void tell_raw(const judging *j, const twi_hold *hold, const twi_lost *lost)
{
    if (lost->raw > 0)
        tw_diag_add(j->diags, 1736, &j->place,
                    "%.*s: %.*s (must, note %.*s) is held; single boxes of its detector stick out by up to %.*s px in "
                    "%lld frame%s",
                    TW_ARG(j->who), TW_ARG(hold->region->name), TW_ARG(hold->note->id),
                    TW_ARG(number(j, lost->raw_px, 1)), (long long)lost->raw, TW_PLURAL(lost->raw));
}

static void tell_musts(const judging *j, const twi_showing *s)
{
    bool any = false;
    for (size_t h = 0; h < j->view->asked->hold_count; h++)
        any = any || s->lost[h].px > 0 || s->lost[h].raw > 0;
    if (!any || !first_time(j, 1723))
        return;
    for (size_t h = 0; h < j->view->asked->hold_count; h++) {
        tell_lost(j, &j->view->asked->holds[h], &s->lost[h]);
        tell_raw(j, &j->view->asked->holds[h], &s->lost[h]);
    }
}

#define HARD_SPEED 1.5 /* window widths per second when the plan is silent: src/path/solver.md, 8 */

static void tell_motion(const judging *j, const twi_showing *s)
{
    double planned = j->view->in->plan->motion.speeds[4], limit = planned > 0 ? planned : HARD_SPEED;
    /* rounding both ends of a step to the written digits moves them by as much */
    double slack = 4 * TWI_HALF_DIGIT * j->view->shot->fps;
    if (s->peak_speed > limit + slack && first_time(j, 1726))
        tw_diag_add(j->diags, 1726, &j->place,
                    "%.*s: the window moves at %.*s of its widths per second where %.*s is the limit, at %.*s",
                    TW_ARG(j->who), TW_ARG(number(j, s->peak_speed, 3)), TW_ARG(number(j, limit, 3)),
                    TW_ARG(at_frame(j, s->fast_first)));
}

#define HARD_ACCEL 3.0 /* window widths per second squared when the plan is silent: src/path/solver.md, 8 */

/* Keys without eased corners stand for eased ones; their own corners say nothing. */
static void tell_harshness(const judging *j, const twi_showing *s)
{
    double planned = j->view->in->plan->motion.accel, limit = planned > 0 ? planned : HARD_ACCEL;
    if (j->view->framing->interp == TW_INTERP_EASED && s->peak_accel > limit * (1 + 1e-6) + s->accel_slack &&
        first_time(j, 1737))
        tw_diag_add(
            j->diags, 1737, &j->place,
            "%.*s: the window gains or loses %.*s of its widths per second in a second where %.*s is the limit, at "
            "%.*s",
            TW_ARG(j->who), TW_ARG(number(j, s->peak_accel, 3)), TW_ARG(number(j, limit, 3)),
            TW_ARG(at_frame(j, s->harsh_first)));
}

static void tell_hand(const judging *j, const twi_showing *s)
{
    if (s->moved > 0 && first_time(j, 1738))
        tw_diag_add(
            j->diags, 1738, &j->place,
            "%.*s: the window is not where note %.*s sets it by hand, by up to %.*s px in %lld frame%s, first at "
            "%.*s",
            TW_ARG(j->who), TW_ARG(s->moved_note->id), TW_ARG(number(j, s->moved_px, 3)), (long long)s->moved,
            TW_PLURAL(s->moved), TW_ARG(at_frame(j, s->moved_first)));
}

static bool goes_on_after(const twi_seen *shot)
{
    return shot[1].joined; /* the list of shots ends with an empty one */
}

static void tell_keys(const judging *j, const twi_showing *s)
{
    size_t allowed = (j->view->shot->joined ? s->keys_before : 0) + (goes_on_after(j->view->shot) ? s->keys_after : 0);
    size_t stray = s->keys_before + s->keys_after - allowed;
    if (allowed > 0 && first_time(j, 1727))
        tw_diag_add(j->diags, 1727, &j->place,
                    "%.*s: %zu key%s outside the clip: the move goes on over a cut inside the same take",
                    TW_ARG(j->who), allowed, allowed == 1 ? " lies" : "s lie");
    if (stray > 0 && first_time(j, 1728))
        tw_diag_add(j->diags, 1728, &j->place, "%.*s: %zu key%s outside the frames that are seen", TW_ARG(j->who),
                    stray, stray == 1 ? " lies" : "s lie");
}

/* ---- one framing ----------------------------------------------------------------------------------------- */

/* Is it a framing for this picture, this delivery and this way of showing? */
static bool fits_plan(const judging *j, twi_expected expected)
{
    const tw_framing *f = j->view->framing;
    const tw_delivery *d = &j->view->in->plan->deliveries[j->view->in->delivery];
    const tw_source *source = j->view->shot->source;
    const char *what = NULL;
    if (!tw_size_same(f->delivery, d->size))
        what = "is for a delivery of another size than the plan's";
    else if (!tw_size_same(f->source, source->size) || fabs(f->squeeze - source->squeeze) > 1e-9)
        what = "is for a picture of another size or squeeze than the plan's source";
    else if ((f->mode == TW_FRAME_FILL) != (expected == TWI_EXPECT_FILLED))
        what = f->mode == TW_FRAME_FILL ? "fills the delivery where the plan shows the picture whole"
                                        : "shows the picture whole where the plan fills the delivery";
    if (what != NULL && first_time(j, 1719))
        tw_diag_add(j->diags, 1719, &j->place, "%.*s: the framing %s", TW_ARG(j->who), what);
    return what == NULL;
}

static bool valid(const judging *j)
{
    const tw_framing *f = j->view->framing;
    size_t bad = 0;
    if (tw_path_valid_form((tw_path_view){f->keys, f->key_count}, (tw_path_form)f->interp, &bad))
        return true;
    if (first_time(j, 1717))
        tw_diag_add(
            j->diags, 1717, &j->place,
            "%.*s: key %zu of %zu makes no path: frames must ascend, eased corners must not overlap, widths must "
            "be above 0",
            TW_ARG(j->who), bad + 1, f->key_count);
    return false;
}

/* A whole picture is the whole picture, and stays. */
static void judge_whole(const judging *j)
{
    const tw_framing *f = j->view->framing;
    tw_window want = tw_geom_fit(f->source, f->squeeze, f->delivery);
    double slack = 4 * TWI_HALF_DIGIT * tw_max(1, want.h / want.w);
    for (size_t k = 0; k < f->key_count; k++) {
        tw_window got = tw_geom_key_window(f->keys[k], f->squeeze, f->delivery);
        bool same = fabs(got.x - want.x) <= slack && fabs(got.y - want.y) <= slack && fabs(got.w - want.w) <= slack;
        if (same || !first_time(j, 1720))
            continue;
        tw_diag_add(j->diags, 1720, &j->place, "%.*s: the picture is to be shown whole, but is not at key %zu",
                    TW_ARG(j->who), k + 1);
    }
}

static void take(tw_proof *n, const twi_showing *s)
{
    n->max_scale = tw_max(n->max_scale, s->max_scale);
    n->worst_cut_px = tw_max(n->worst_cut_px, s->worst_cut);
    n->peak_speed = tw_max(n->peak_speed, s->peak_speed);
    n->peak_accel = tw_max(n->peak_accel, s->peak_accel);
    n->outside_frames += s->outside;
    n->over_scale_frames += s->over;
    n->must_frames += s->must;
    n->must_held_frames += s->held;
    n->must_forced_frames += s->forced;
    n->must_by_hand_frames += s->cut_by_hand;
}

static bool same_path(const tw_framing *a, const tw_framing *b)
{
    return tw_size_same(a->source, b->source) && tw_size_same(a->delivery, b->delivery) && a->interp == b->interp &&
           a->key_count == b->key_count && memcmp(&a->squeeze, &b->squeeze, sizeof a->squeeze) == 0 &&
           memcmp(a->keys, b->keys, a->key_count * sizeof *a->keys) == 0;
}

/* Two files of a delivery mostly hold the same path, to the last bit: it is watched once. */
static const twi_showing *watched(tw_arena *arena, const twi_view *view, twi_told *told)
{
    if (told->showing != NULL && told->shift == view->shift && same_path(told->framing, view->framing))
        return told->showing;
    twi_showing *s = TW_NEW(arena, twi_showing);
    twi_proof_watch(arena, view, s);
    told->framing = view->framing;
    told->shift = view->shift;
    told->showing = s;
    return s;
}

void twi_proof_judge(tw_arena *arena, const twi_view *view, const tw_proof_file *file, const tw_item *clip,
                     twi_told *told, tw_diags *diags, tw_proof *numbers)
{
    tw_arena *scratch = tw_arena_like(arena);
    judging j = {scratch, view, file, twi_proof_place(file, clip), {NULL, 0}, told, diags};
    j.who = name_shot(&j, clip);
    twi_expected expected = twi_proof_expected(view->shot, &view->in->plan->deliveries[view->in->delivery]);
    if (fits_plan(&j, expected) && valid(&j)) {
        if (expected == TWI_EXPECT_WHOLE) {
            judge_whole(&j);
        } else {
            const twi_showing *s = watched(arena, view, told);
            tell_edges(&j, s);
            tell_scale(&j, s);
            tell_musts(&j, s);
            tell_hand(&j, s);
            tell_motion(&j, s);
            tell_harshness(&j, s);
            tell_keys(&j, s);
            take(numbers, s);
        }
    }
    tw_arena_free(&scratch);
}
