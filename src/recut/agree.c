/* SPDX-License-Identifier: Apache-2.0
 *
 * Framings people agreed on, named by a hash of their windows. In a note:
 *   "state": "agreed", "agreed": {"by": "kim", "framings": {"tall": ["0123456789abcdef"]}}
 * A list, since several shots may use a note; shots that are gone break nothing.
 */
#include "recut_internal.h"

#include <math.h>

/* ---- names ----------------------------------------------------------------------------------------------- */

/* Thousandths, as every format writes them: the name is the same before and after a file. */
static void add_number(double value, tw_buf *out)
{
    tw_buf_addc(out, ' ');
    tw_buf_add_fixed(out, value, 3);
}

static bool same_window(tw_window a, tw_window b)
{
    return fabs(a.x - b.x) < 5e-4 && fabs(a.y - b.y) < 5e-4 && fabs(a.w - b.w) < 5e-4;
}

tw_str tw_recut_framing_name(tw_arena *arena, const tw_timeline *timeline, const tw_item *item)
{
    const tw_framing *f = item->framing;
    tw_buf text = {.arena = arena};
    tw_buf_addf(&text, "%d %dx%d %dx%d", (int)f->mode, f->source.w, f->source.h, f->delivery.w, f->delivery.h);
    bool still = true;
    tw_window first = tw_geom_key_window(f->keys[0], f->squeeze, f->delivery);
    for (size_t k = 1; k < f->key_count; k++)
        still = still && same_window(first, tw_geom_key_window(f->keys[k], f->squeeze, f->delivery));
    for (size_t k = 0; k < (still ? 1 : f->key_count); k++) {
        tw_window w = tw_geom_key_window(f->keys[k], f->squeeze, f->delivery);
        if (!still) {
            add_number(tw_item_source_frame(timeline, item, f->keys[k].frame), &text);
            add_number(f->keys[k].ease, &text);
        }
        add_number(w.x, &text);
        add_number(w.y, &text);
        add_number(w.w, &text);
    }
    return tw_arena_hex(arena, tw_str_hash(tw_buf_str(&text)));
}

/* ---- asking ---------------------------------------------------------------------------------------------- */

static const tw_json *names_agreed(const tw_note *note, tw_str delivery)
{
    return tw_json_get_str(tw_json_get(tw_json_get(note->json, "agreed"), "framings"), delivery);
}

static bool has_name(const tw_json *names, tw_str name)
{
    for (const tw_json *n = tw_json_first(names); n != NULL; n = n->next)
        if (tw_str_eq(tw_json_text(n), name))
            return true;
    return false;
}

tw_str tw_recut_agreed_by(const tw_note *note)
{
    const tw_json *by = tw_json_get(tw_json_get(note->json, "agreed"), "by");
    return tw_json_is(by, TW_JSON_STRING) ? by->text : TW_STR("");
}

size_t tw_recut_broken(tw_arena *arena, const tw_timeline *timeline, tw_str delivery, const tw_note_use *uses,
                       size_t count, tw_agreed **out)
{
    size_t broken = 0, cap = 0;
    *out = NULL;
    for (size_t i = 0; i < count; i++) {
        const tw_note *note = uses[i].note;
        if (!tw_str_is(note->state, "agreed") || uses[i].item->framing == NULL)
            continue;
        const tw_json *names = names_agreed(note, delivery);
        bool unknown = names == NULL;
        if (!unknown && has_name(names, tw_recut_framing_name(arena, timeline, uses[i].item)))
            continue;
        TW_PUSH(arena, *out, broken, cap) = (tw_agreed){
            .note = note,
            .by = tw_recut_agreed_by(note),
            .delivery = delivery,
            .item = unknown ? NULL : uses[i].item,
        };
    }
    return broken;
}

/* ---- writing --------------------------------------------------------------------------------------------- */

void tw_recut_agree(tw_arena *arena, const tw_timeline *timeline, tw_str delivery, const tw_note_use *uses,
                    size_t count, tw_json *note, tw_str by)
{
    tw_str *names = TW_NEW_N(arena, tw_str, count);
    size_t named = 0;
    for (size_t i = 0; i < count; i++)
        if (uses[i].item->framing != NULL)
            names[named++] = tw_recut_framing_name(arena, timeline, uses[i].item);
    TW_SORT(names, named, tw_str_order);
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < named; i++)
        if (i == 0 || !tw_str_eq(names[i], names[i - 1]))
            tw_json_append(list, tw_json_new_text(arena, names[i]));
    tw_json *agreed = tw_json_need(arena, note, "agreed", TW_JSON_OBJECT);
    if (by.len > 0)
        tw_json_set_sorted(arena, agreed, "by", tw_json_new_text(arena, by));
    tw_json *framings = tw_json_need(arena, agreed, "framings", TW_JSON_OBJECT);
    tw_json_set_sorted(arena, framings, tw_arena_dupz(arena, delivery), list);
    tw_json_set_text(arena, note, "state", TW_STR("agreed"));
}
