/* SPDX-License-Identifier: Apache-2.0
 *
 * The starter plan: what the edit says, written down for a person to go on from.
 */
#include "plan_internal.h"

static void set_text(tw_arena *arena, tw_json *object, const char *name, tw_str text)
{
    if (text.len > 0)
        tw_json_set_text(arena, object, name, text);
}

/* usual: what is read where nothing is said of drop frame. */
static void set_rate(tw_arena *arena, tw_json *object, tw_rate rate, bool drop, bool usual)
{
    if (tw_rate_known(rate)) {
        tw_buf text = {.arena = arena};
        tw_rate_write(rate, &text);
        set_text(arena, object, "rate", tw_buf_str(&text));
    }
    if (drop != (usual && tw_rate_can_drop(rate)))
        tw_json_set(arena, object, "drop", tw_json_new_bool(arena, drop));
}

static tw_json *size_or_null(tw_arena *arena, tw_size size)
{
    return size.w > 0 && size.h > 0 ? twi_plan_new_size(arena, size) : tw_json_new(arena, TW_JSON_NULL);
}

static tw_json *edit_object(tw_arena *arena, const tw_starter *starter)
{
    tw_json *edit = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json_set_text(arena, edit, "file", starter->edit_file);
    set_text(arena, edit, "timeline", starter->timeline);
    set_rate(arena, edit, starter->rate, starter->drop, false);
    return edit;
}

static tw_json *delivery_object(tw_arena *arena, const tw_delivery *d)
{
    tw_json *object = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json_set_text(arena, object, "name", d->name);
    tw_json_set(arena, object, "size", size_or_null(arena, d->size));
    if (d->max_scale > 0)
        tw_json_set(arena, object, "max_scale", tw_json_new_double(arena, d->max_scale));
    return object;
}

/* Pictures have a size, their own or the source's. */
static bool is_only_heard(const tw_source *s)
{
    bool pictures = s->size.w > 0 || s->media_count == 0;
    for (size_t i = 0; i < s->media_count; i++)
        pictures = pictures || s->media[i].size.w > 0;
    return !pictures;
}

static tw_json *source_object(tw_arena *arena, const tw_starter *starter, const tw_source *s)
{
    static const char *const kinds[] = {NULL, "still", "graphic"}; /* a camera is not mentioned */
    tw_json *object = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json_set_text(arena, object, "reel", s->reel);
    if (!is_only_heard(s))
        tw_json_set(arena, object, "size", size_or_null(arena, s->size));
    if (s->squeeze > 0 && (s->squeeze < 1 || s->squeeze > 1))
        tw_json_set(arena, object, "squeeze", tw_json_new_double(arena, s->squeeze));
    bool own = tw_rate_known(s->rate);
    if (own && (!tw_rate_eq(s->rate, starter->rate) || s->drop != starter->drop))
        set_rate(arena, object, s->rate, s->drop, starter->drop);
    set_text(arena, object, "kind", tw_str_z(kinds[s->kind]));
    twi_plan_set_media(arena, object, s, own ? s->rate : starter->rate, own ? s->drop : starter->drop);
    return object;
}

void tw_plan_start(tw_arena *arena, const tw_starter *starter, tw_buf *out)
{
    tw_json *root = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json *deliveries = tw_json_new(arena, TW_JSON_ARRAY), *sources = tw_json_new(arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < starter->delivery_count; i++)
        tw_json_append(deliveries, delivery_object(arena, &starter->deliveries[i]));
    for (size_t i = 0; i < starter->source_count; i++)
        tw_json_append(sources, source_object(arena, starter, &starter->sources[i]));
    tw_json_set(arena, root, "tallwide_plan", tw_json_new_int(arena, 1));
    tw_json_set(arena, root, "edit", edit_object(arena, starter));
    tw_json_set(arena, root, "deliveries", deliveries);
    tw_json_set(arena, root, "sources", sources);
    tw_json_set(arena, root, "notes", tw_json_new(arena, TW_JSON_ARRAY));
    tw_plan_write(root, out);
}
