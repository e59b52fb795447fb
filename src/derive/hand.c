/* SPDX-License-Identifier: Apache-2.0
 *
 * Windows set by hand are never overruled, and no window may show an edge of the picture. One that would is therefore
 * neither moved nor written: the plan is refused, and the key named.
 */
#include "derive_internal.h"

#include <math.h>

/* The row of the plan that key number `index` of a window stands in. */
static tw_place place_of(const tw_plan *plan, const tw_note *note, size_t index)
{
    const tw_json *row = tw_json_first(tw_json_get(note->json, "window"));
    for (size_t i = 0; i < index && row != NULL; i++)
        row = row->next;
    return row != NULL ? tw_json_place(&plan->doc, row) : (tw_place){.file = plan->file};
}

/* The first key of a window that shows an edge; window_count when none does. */
static size_t first_outside(const tw_note *note, const tw_delivery *delivery, const tw_source *source, double *px,
                            const char **side)
{
    size_t i = 0;
    for (; i < note->window_count; i++) {
        double height = tw_geom_height(note->window[i].w, source->squeeze, delivery->size);
        const tw_hand_key *key = &note->window[i];
        *px = tw_geom_past((tw_window){key->x, key->y, key->w, height}, source->size, side);
        if (*px > TW_WINDOW_READ_OFF)
            break;
    }
    return i;
}

/* Frames to each side that a key's corner has room for: half of the way to the nearer key. */
static double room_for(const tw_note *note, size_t i)
{
    double room = INFINITY;
    if (i > 0)
        room = (double)(note->window[i].frame - note->window[i - 1].frame);
    if (i + 1 < note->window_count)
        room = tw_min(room, (double)(note->window[i + 1].frame - note->window[i].frame));
    return floor(room / 2);
}

void twi_derive_tell_corners(tw_arena *arena, const tw_plan *plan, const tw_note *note, tw_diags *diags)
{
    size_t count = 0, first = 0;
    for (size_t i = 0; note->window_count > 1 && i < note->window_count; i++)
        if (note->window[i].ease > room_for(note, i) && count++ == 0)
            first = i;
    if (count == 0)
        return;
    const tw_place place = place_of(plan, note, first);
    tw_buf more = {.arena = arena}, asked = {.arena = arena}, got = {.arena = arena};
    if (count > 1)
        tw_buf_addf(&more, " (and %zu more in this note)", count - 1);
    tw_buf_add_fixed(&asked, note->window[first].ease, 0);
    tw_buf_add_fixed(&got, room_for(note, first), 0);
    tw_diag_add(
        diags, 1611, &place,
        "note %.*s: the corner of this key was to be eased over %.*s frames to each side, but the next key is too "
        "near: it gets %.*s%.*s",
        TW_ARG(note->id), TW_ARG(tw_buf_str(&asked)), TW_ARG(tw_buf_str(&got)), TW_ARG(tw_buf_str(&more)));
}

static bool tell_outside(const twi_asking *asking, const twi_shot *shot, const tw_note *note, tw_diags *diags)
{
    const char *side = "";
    double px = 0;
    size_t key = first_outside(note, asking->delivery, shot->source, &px, &side);
    if (key == note->window_count)
        return true;
    const tw_place place = place_of(asking->plan, note, key);
    tw_diag_add(diags, 1608, &place,
                "%.*s: the window that note %.*s sets by hand reaches %lld px past the %s edge of the picture",
                TW_ARG(asking->delivery->name), TW_ARG(note->id), (long long)ceil(tw_min(px, 1e9)), side);
    tw_diag_hint(diags, "move it inside; if it was meant for another shape, name that in the note's \"deliveries\"");
    return false;
}

/* Neither of two that contradict each other may be overruled. */
static bool tell_clash(tw_arena *arena, const twi_asking *asking, const twi_shot *shots, bool *told, tw_diags *diags)
{
    twi_clash clash;
    tw_arena *scratch = tw_arena_like(arena);
    bool agree = twi_derive_hands_agree(scratch, asking, shots, &clash);
    tw_arena_free(&scratch);
    if (agree || told[clash.second - asking->plan->notes])
        return agree;
    const tw_place place = place_of(asking->plan, clash.second, 0);
    const tw_timeline *master = asking->master;
    tw_diag_add(diags, 1613, &place,
                "%.*s: notes %.*s and %.*s set two windows by hand, up to %lld px apart, for the same %lld frame%s of "
                "%.*s at %s",
                TW_ARG(asking->delivery->name), TW_ARG(clash.first->id), TW_ARG(clash.second->id),
                (long long)ceil(tw_min(clash.px, 1e9)), (long long)clash.frames, TW_PLURAL(clash.frames),
                TW_ARG(tw_item_source_name(shots->clip)),
                tw_tc_text(arena, shots->stand.seen.first, master->rate, master->drop).at);
    tw_diag_hint(diags, "take one of the two out, let one end where the other begins, or name other \"deliveries\"");
    told[clash.second - asking->plan->notes] = true;
    return false;
}

/* Notes that set one in the path that begins here. */
static size_t count_windows(const twi_asking *asking, const twi_shot *shots)
{
    size_t windows = 0;
    for (size_t p = 0; p < shots->parts; p++)
        for (size_t n = 0; n < shots[p].note_count; n++)
            windows += shots[p].notes[n]->window_count > 0 && tw_note_covers(shots[p].notes[n], asking->delivery->name);
    return windows;
}

bool twi_derive_hands_fit(tw_arena *arena, const twi_asking *asking, const twi_shot *shot, bool *told, tw_diags *diags)
{
    bool fit = true;
    for (size_t n = 0; n < shot->note_count; n++) {
        const tw_note *note = shot->notes[n];
        bool *known = &told[note - asking->plan->notes];
        if (!*known && tw_note_covers(note, asking->delivery->name) && !tell_outside(asking, shot, note, diags))
            fit = !(*known = true);
    }
    return (count_windows(asking, shot) < 2 || tell_clash(arena, asking, shot, told, diags)) && fit;
}
