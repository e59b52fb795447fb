/* SPDX-License-Identifier: Apache-2.0
 *
 * Windows set by hand are never overruled, and no window may show an edge of the picture. One that would is therefore
 * neither moved nor written: the plan is refused, and the key named.
 */
#include "derive_internal.h"

#include <math.h>

#define READ_OFF 0.5 /* source pixels: what whole numbers read off a display miss a window inside the picture by */

/* How far a window reaches past the picture, and where. */
static double past_edge(const tw_hand_key *key, double height, tw_size size, const char **side)
{
    const struct {
        double px;
        const char *side;
    } sides[] = {{-key->x, "left"},
                 {key->x + key->w - size.w, "right"},
                 {-key->y, "upper"},
                 {key->y + height - size.h, "lower"}};
    size_t worst = 0;
    for (size_t i = 1; i < 4; i++)
        worst = sides[i].px > sides[worst].px ? i : worst;
    *side = sides[worst].side;
    return sides[worst].px;
}

/* The row of the plan that key number `index` of a window stands in. */
static tw_place place_of(const tw_plan *plan, const tw_note *note, size_t index)
{
    const tw_json *list = tw_json_get(note->json, "window"), *row = list != NULL ? list->child : NULL;
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
        *px = past_edge(&note->window[i], height, source->size, side);
        if (*px > READ_OFF)
            break;
    }
    return i;
}

bool twi_derive_hands_fit(const tw_plan *plan, const tw_delivery *delivery, const twi_shot *shot, bool *told,
                          tw_diags *diags)
{
    bool fit = true;
    for (size_t n = 0; n < shot->note_count; n++) {
        const tw_note *note = shot->notes[n];
        bool *known = &told[note - plan->notes];
        const char *side = "";
        double px = 0;
        if (*known || !tw_note_covers(note, delivery->name))
            continue;
        size_t key = first_outside(note, delivery, shot->source, &px, &side);
        if (key == note->window_count)
            continue;
        const tw_place place = place_of(plan, note, key);
        tw_diag_add(diags, 1608, &place,
                    "%.*s: the window that note %.*s sets by hand reaches %lld px past the %s edge of the picture",
                    TW_ARG(delivery->name), TW_ARG(note->id), (long long)ceil(fmin(px, 1e9)), side);
        tw_diag_hint(diags, "move it inside; if it was meant for another shape, name that in the note's "
                            "\"deliveries\"");
        *known = true;
        fit = false;
    }
    return fit;
}
