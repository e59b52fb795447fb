/* SPDX-License-Identifier: Apache-2.0
 *
 * A comparison in words, as JSON, and an edit as lines to be compared by other programs.
 */
#include "recut_internal.h"

static const char *const kind_word[] = {"kept",   "trimmed",  "retimed", "split",
                                        "joined", "replaced", "removed", "added"};

/* ---- shared ---------------------------------------------------------------------------------------------- */

static tw_str name_of(const tw_shot *shot)
{
    tw_str name = tw_item_source_name(shot->item);
    return name.len > 0 ? name : TW_STR("(no name)");
}

static void add_source_label(const tw_timeline *t, const tw_shot *shot, double frame, tw_buf *out)
{
    tw_rate rate = tw_item_source_rate(t, shot->item);
    int64_t whole = (int64_t)(frame + (frame < 0 ? -0.5 : 0.5));
    tw_tc_add(whole, rate, shot->item->source_drop, out);
}

static void add_percent(double speed, tw_buf *out)
{
    tw_buf_add_fixed(out, speed * 100, 1);
    tw_buf_addz(out, " %");
}

static void pad_to(tw_buf *out, size_t start, size_t column)
{
    size_t at = out->len - start;
    tw_buf_fill(out, ' ', at < column ? column - at : 1);
}

/* ---- text ------------------------------------------------------------------------------------------------ */

static void add_frames(int64_t frames, tw_buf *out)
{
    tw_buf_addf(out, "%lld frame%s", (long long)(frames < 0 ? -frames : frames),
                frames == 1 || frames == -1 ? "" : "s");
}

static void say_end(const char *end, int64_t frames, tw_buf *out)
{
    if (frames == 0)
        return;
    tw_buf_addf(out, ", %s ", end);
    add_frames(frames, out);
    tw_buf_addz(out, frames > 0 ? " longer" : " shorter");
}

static void say_trim(const tw_change *c, tw_buf *out)
{
    if (c->head != 0 && c->head == -c->tail) {
        tw_buf_addz(out, ", slipped ");
        add_frames(c->head, out);
        tw_buf_addz(out, c->head > 0 ? " earlier in the source" : " later in the source");
        return;
    }
    say_end("head", c->head, out);
    say_end("tail", c->tail, out);
}

static void say_transition_name(const tw_timeline *t, const tw_item *item, tw_buf *out)
{
    if (item == NULL) {
        tw_buf_addz(out, "a cut");
        return;
    }
    int64_t frames = tw_time_round(tw_time_add(item->in_offset, item->out_offset), t->rate, NULL);
    tw_buf_add_shown(out, item->name.len > 0 ? item->name : TW_STR("transition"));
    tw_buf_addz(out, " of ");
    add_frames(frames, out);
}

static bool same_length(const tw_item *a, const tw_item *b)
{
    return a != NULL && b != NULL &&
           tw_time_eq(tw_time_add(a->in_offset, a->out_offset), tw_time_add(b->in_offset, b->out_offset));
}

static void say_transition(const tw_comparison *c, const tw_change *change, tw_buf *out)
{
    if (!change->transition)
        return;
    if (twi_recut_same_transition(change->old_transition, change->new_transition)) {
        tw_buf_addz(out, ", another transition out of it");
        return;
    }
    if (same_length(change->old_transition, change->new_transition)) {
        tw_buf_addz(out, ", the transition into it lies differently about the cut");
        return;
    }
    tw_buf_addz(out, ", ");
    say_transition_name(c->alignment->new_timeline, change->new_transition, out);
    tw_buf_addz(out, " into it instead of ");
    say_transition_name(c->alignment->old_timeline, change->old_transition, out);
}

static void say_window(const tw_comparison *c, const tw_change *change, tw_buf *out)
{
    const tw_alignment *a = c->alignment;
    if (!change->window.changed)
        return;
    if (change->window.one_side) {
        tw_buf_addz(out, ", framed in one version only or in another way");
        return;
    }
    tw_buf_addz(out, ", window up to ");
    tw_buf_add_fixed(out, change->window.px, 1);
    tw_buf_addz(out, " px elsewhere, most at ");
    const tw_timeline *t = a->new_timeline;
    tw_tc_add(tw_stand_record(&a->news[change->news[0]].stand, change->window.frame), t->rate, t->drop, out);
}

static void say_switch(const tw_comparison *c, const tw_change *change, tw_buf *out)
{
    if (change->enabled)
        tw_buf_addz(out, c->alignment->news[change->news[0]].item->enabled ? ", switched on" : ", switched off");
}

/* At one speed fewer record frames take a source on as far as more do: where they count otherwise that is said. */
static void say_speed(const tw_timeline *t, const tw_timeline *beside, const tw_item *item, tw_buf *out)
{
    add_percent(item->speed, out);
    if (tw_rate_eq(t->rate, beside->rate))
        return;
    tw_buf_addz(out, " at ");
    tw_rate_write_spoken(t->rate, false, out);
    tw_buf_addz(out, " frames a second");
}

static void say_numbers(const tw_comparison *c, const tw_change *change, tw_buf *out)
{
    const tw_alignment *a = c->alignment;
    switch (change->kind) {
    case TW_CHANGE_RETIMED:
        tw_buf_addz(out, ", ");
        say_speed(a->new_timeline, a->old_timeline, a->news[change->news[0]].item, out);
        tw_buf_addz(out, " instead of ");
        say_speed(a->old_timeline, a->new_timeline, a->olds[change->olds[0]].item, out);
        break;
    case TW_CHANGE_SPLIT: tw_buf_addf(out, ", into %zu pieces", change->new_count); break;
    case TW_CHANGE_JOINED: tw_buf_addf(out, ", from %zu pieces", change->old_count); break;
    case TW_CHANGE_REPLACED:
        tw_buf_addz(out, ", in place of ");
        tw_buf_add_shown(out, name_of(&a->olds[change->olds[0]]));
        break;
    default: break;
    }
    if (change->missing != 0) {
        tw_buf_addz(out, ", ");
        add_frames(change->missing, out);
        tw_buf_addz(out, change->new_count > 1 ? " between them gone" : " between them back");
    }
}

static bool all_kept(const tw_change *c)
{
    return c->kind == TW_CHANGE_KEPT && !c->moved && !c->transition && !c->enabled && !c->window.changed;
}

static const char *word_of(const tw_change *c)
{
    if (c->kind != TW_CHANGE_KEPT)
        return kind_word[c->kind];
    if (c->moved)
        return "moved";
    if (c->window.changed)
        return "reframed";
    return c->transition || c->enabled ? "changed" : "kept";
}

static void say_change(const tw_comparison *c, const tw_change *change, tw_buf *out)
{
    const tw_alignment *a = c->alignment;
    bool removed = change->new_count == 0;
    const tw_timeline *t = removed ? a->old_timeline : a->new_timeline;
    const size_t number = removed ? change->olds[0] : change->news[0];
    const tw_shot *shot = removed ? &a->olds[number] : &a->news[number];
    size_t start = out->len;
    tw_buf_addf(out, "  %s", word_of(change));
    pad_to(out, start, 12);
    if (shot->item->event.len > 0)
        tw_buf_add_shown(out, shot->item->event);
    else
        tw_buf_addf(out, "%zu", number + 1); /* as `list` and `fork` count */
    pad_to(out, start, 19);
    tw_tc_add(shot->stand.seen.first, t->rate, t->drop, out);
    tw_buf_addz(out, "  ");
    tw_buf_add_shown(out, name_of(shot));
    tw_buf_addc(out, ' ');
    pad_to(out, start, 46);
    add_source_label(t, shot, tw_item_source_frame(t, shot->item, shot->first), out);
    tw_buf_addz(out, "  ");
    add_frames(shot->frames, out);
    if (change->moved && change->kind != TW_CHANGE_KEPT)
        tw_buf_addz(out, ", moved");
    say_numbers(c, change, out);
    if (change->kind < TW_CHANGE_REPLACED)
        say_trim(change, out);
    say_transition(c, change, out);
    say_window(c, change, out);
    say_switch(c, change, out);
    tw_buf_addc(out, '\n');
}

static void say_totals(const tw_comparison *c, tw_buf *out)
{
    size_t kept = 0;
    for (size_t i = 0; i < c->count; i++)
        kept += all_kept(&c->changes[i]);
    tw_buf_addf(out, "%zu shot%s before, %zu now: %zu as before", c->alignment->old_count,
                TW_PLURAL(c->alignment->old_count), c->alignment->new_count, kept);
    for (size_t k = TW_CHANGE_TRIMMED; k <= TW_CHANGE_ADDED; k++)
        if (c->of_kind[k] > 0)
            tw_buf_addf(out, ", %zu %s", c->of_kind[k], kind_word[k]);
    if (c->moved > 0)
        tw_buf_addf(out, ", %zu moved", c->moved);
    if (c->transitions > 0)
        tw_buf_addf(out, ", %zu transition%s changed", c->transitions, TW_PLURAL(c->transitions));
    if (c->windows > 0)
        tw_buf_addf(out, ", %zu window%s changed", c->windows, TW_PLURAL(c->windows));
    tw_buf_addc(out, '\n');
}

void tw_recut_say(const tw_comparison *comparison, bool all, tw_buf *out)
{
    for (size_t i = 0; i < comparison->count; i++)
        if (all || !all_kept(&comparison->changes[i]))
            say_change(comparison, &comparison->changes[i], out);
    say_totals(comparison, out);
}

/* ---- JSON ------------------------------------------------------------------------------------------------ */

static void json_shot(const tw_timeline *t, const tw_shot *shot, tw_buf *out)
{
    tw_diag_json_next("{", out);
    tw_diag_json_text("event", shot->item->event, out);
    tw_diag_json_text("reel", name_of(shot), out);
    tw_buf_addz(out, ", \"record_in\": \"");
    tw_tc_add(shot->stand.seen.first, t->rate, t->drop, out);
    tw_buf_addz(out, "\", \"source_in\": \"");
    add_source_label(t, shot, tw_item_source_frame(t, shot->item, shot->first), out);
    tw_buf_addf(out, "\", \"frames\": %lld}", (long long)shot->frames);
}

static void json_shots(const char *name, const tw_timeline *t, const tw_shot *shots, const size_t *list, size_t count,
                       tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addc(out, '[');
    for (size_t k = 0; k < count; k++)
        json_shot(t, &shots[list[k]], out);
    tw_buf_addc(out, ']');
}

static void json_change(const tw_comparison *c, const tw_change *change, tw_buf *out)
{
    const tw_alignment *a = c->alignment;
    tw_diag_json_next("\n  {", out);
    tw_diag_json_text("kind", tw_str_z(kind_word[change->kind]), out);
    tw_diag_json_bool("moved", change->moved, out);
    json_shots("old", a->old_timeline, a->olds, change->olds, change->old_count, out);
    json_shots("new", a->new_timeline, a->news, change->news, change->new_count, out);
    tw_diag_json_count("head", change->head, out);
    tw_diag_json_count("tail", change->tail, out);
    tw_diag_json_count("missing", change->missing, out);
    tw_diag_json_bool("transition_changed", change->transition, out);
    tw_diag_json_bool("enabled_changed", change->enabled, out);
    if (change->window.changed)
        tw_buf_addz(out, ", \"window\": {");
    if (change->window.changed && !change->window.one_side) {
        tw_diag_json_number("px", change->window.px, 3, out);
        tw_diag_json_count("frame", change->window.frame, out);
    }
    if (change->window.changed)
        tw_buf_addc(out, '}');
    tw_buf_addc(out, '}');
}

void tw_recut_json(const tw_comparison *comparison, const tw_diags *diags, tw_buf *out)
{
    const char *same = comparison->same ? "true" : "false";
    tw_buf_addf(out, "{\"ok\": %s, \"same\": %s, \"old_shots\": %zu, \"new_shots\": %zu", same, same,
                comparison->alignment->old_count, comparison->alignment->new_count);
    for (size_t k = TW_CHANGE_KEPT; k <= TW_CHANGE_ADDED; k++)
        tw_diag_json_count(kind_word[k], (int64_t)comparison->of_kind[k], out);
    tw_buf_addf(out, ", \"moved\": %zu, \"transitions_changed\": %zu, \"windows_changed\": %zu", comparison->moved,
                comparison->transitions, comparison->windows);
    tw_buf_addz(out, ",\n \"changes\": [");
    for (size_t i = 0; i < comparison->count; i++)
        json_change(comparison, &comparison->changes[i], out);
    tw_buf_addz(out, "],\n ");
    tw_diag_json_end(diags, out);
}

/* ---- plain lines ----------------------------------------------------------------------------------------- */

/* No blank stands for a name that is empty. */
static void plain_word(tw_str name, tw_buf *out)
{
    tw_buf_add_shown(out, name);
    tw_buf_addz(out, name.len > 0 ? " " : "");
}

static void plain_framing(const tw_framing *f, tw_buf *out)
{
    tw_buf_addf(out, "    %s %dx%d", f->mode == TW_FRAME_FIT ? "whole picture in" : "window for", f->delivery.w,
                f->delivery.h);
    for (size_t k = 0; k < f->key_count; k++) {
        tw_window w = tw_geom_key_window(f->keys[k], f->squeeze, f->delivery);
        tw_buf_addf(out, "%s%lld: x ", k > 0 ? "; " : " ", (long long)f->keys[k].frame);
        tw_buf_add_fixed(out, w.x, 3);
        tw_buf_addz(out, " y ");
        tw_buf_add_fixed(out, w.y, 3);
        tw_buf_addz(out, " w ");
        tw_buf_add_fixed(out, w.w, 3);
        tw_buf_addz(out, " ease ");
        tw_buf_add_fixed(out, f->keys[k].ease, 0);
    }
    tw_buf_addc(out, '\n');
}

static void plain_clip(const tw_timeline *t, const tw_item *item, tw_span body, tw_buf *out)
{
    const tw_shot shot = {.item = item};
    plain_word(name_of(&shot), out);
    add_source_label(t, &shot, tw_item_source_frame(t, item, body.first), out);
    tw_buf_addf(out, " %lld", (long long)(body.end - body.first));
    if (item->speed < 1 || item->speed > 1) {
        tw_buf_addz(out, " at ");
        add_percent(item->speed, out);
    }
    if (item->name.len > 0 && !tw_str_eq(item->name, name_of(&shot))) {
        tw_buf_addz(out, " \"");
        tw_buf_add_shown(out, item->name);
        tw_buf_addc(out, '"');
    }
    tw_buf_addz(out, item->enabled ? "\n" : " off\n");
    if (item->framing != NULL)
        plain_framing(item->framing, out);
}

static void plain_transition(const tw_timeline *t, const tw_item *item, tw_buf *out)
{
    tw_buf_addz(out, "transition ");
    plain_word(item->name, out);
    tw_buf_addf(out, "%lld+%lld\n", (long long)tw_time_round(item->in_offset, t->rate, NULL),
                (long long)tw_time_round(item->out_offset, t->rate, NULL));
}

static void plain_tracks(const tw_timeline *t, const tw_stand *stands, const tw_track *tracks, size_t count, int depth,
                         tw_buf *out)
{
    for (size_t k = 0; k < count; k++) {
        tw_buf_fill(out, ' ', (size_t)depth);
        tw_buf_addf(out, "%s track%s", tw_track_word(tracks[k].kind), tracks[k].name.len > 0 ? " " : "");
        tw_buf_add_shown(out, tracks[k].name);
        tw_buf_addz(out, tracks[k].enabled ? "\n" : " off\n");
        for (size_t i = 0; i < tracks[k].item_count; i++) {
            const tw_item *item = &tracks[k].items[i];
            tw_buf_fill(out, ' ', (size_t)depth + 2);
            if (item->kind == TW_ITEM_CLIP)
                plain_clip(t, item, stands[item->index].body, out);
            else if (item->kind == TW_ITEM_TRANSITION)
                plain_transition(t, item, out);
            else
                tw_buf_addf(out, "%s %lld\n", item->kind == TW_ITEM_GAP ? "gap" : "nest",
                            (long long)tw_item_frames(t, item));
            if (item->kind == TW_ITEM_NEST)
                plain_tracks(t, stands, item->tracks, item->track_count, depth + 4, out);
        }
    }
}

void tw_recut_plain(const tw_timeline *timeline, tw_buf *out)
{
    plain_word(timeline->name, out);
    tw_rate_write(timeline->rate, out);
    tw_buf_addz(out, timeline->drop ? " drop\n" : "\n");
    tw_arena *scratch = tw_arena_like(timeline->arena);
    plain_tracks(timeline, tw_timeline_stands(scratch, timeline), timeline->tracks, timeline->track_count, 0, out);
    tw_arena_free(&scratch);
}
