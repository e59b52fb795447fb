/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* ---- reading --------------------------------------------------------------------------------------------- */

static bool read_hash(twi_otio *o, const tw_json *space, const char *name, uint64_t *out)
{
    tw_str text = twi_otio_text(space, name);
    if (text.len == 16 && tw_num_hex(text, out))
        return true;
    const tw_json *value = tw_json_get(space, name);
    twi_otio_say(o, 1323, value != NULL ? value : space,
                 "\"%s\" of a delivery must be sixteen hexadecimal digits, and is %s", name,
                 value != NULL ? twi_otio_what(o->arena, value) : "missing");
    return false;
}

static bool read_size(twi_otio *o, const tw_json *space, tw_size *out)
{
    const tw_json *size = tw_json_get(space, "size");
    if (twi_otio_size(size, out))
        return true;
    twi_otio_say(o, 1323, size != NULL ? size : space,
                 "\"size\" of a delivery must be [width, height] in pixels, and is %s",
                 size != NULL ? twi_otio_what(o->arena, size) : "missing");
    return false;
}

tw_stamp *twi_otio_stamp_read(twi_otio *o, const tw_json *timeline)
{
    const tw_json *space = twi_otio_space(timeline);
    if (tw_json_get(space, "delivery") == NULL)
        return NULL;
    tw_stamp *stamp = TW_NEW(o->arena, tw_stamp);
    stamp->delivery = twi_otio_text(space, "delivery");
    bool fine = read_size(o, space, &stamp->size);
    fine = read_hash(o, space, "master", &stamp->master_hash) && fine;
    fine = read_hash(o, space, "plan", &stamp->plan_hash) && fine;
    return fine ? stamp : NULL;
}

/* ---- writing --------------------------------------------------------------------------------------------- */

static tw_json *make_hash(tw_arena *arena, uint64_t hash)
{
    return tw_json_new_text(arena, tw_arena_hex(arena, hash));
}

/* The master's name: what a derived one had added is taken off first, so that it never piles up. */
tw_str twi_otio_bare_name(const tw_json *timeline)
{
    tw_str name = twi_otio_text(timeline, "name"), delivery = twi_otio_text(twi_otio_space(timeline), "delivery");
    if (delivery.len == 0 || name.len < delivery.len)
        return name;
    tw_str head = tw_str_cut(name, name.len - delivery.len);
    if (!tw_str_eq(tw_str_from(name, head.len), delivery) || (head.len > 0 && head.at[head.len - 1] != ' '))
        return name;
    return tw_str_cut(head, head.len > 0 ? head.len - 1 : 0);
}

static void set_name(tw_arena *arena, tw_json *timeline, tw_str delivery)
{
    tw_str bare = twi_otio_bare_name(timeline);
    tw_str name = bare.len > 0 ? tw_arena_printf(arena, "%.*s %.*s", TW_ARG(bare), TW_ARG(delivery)) : delivery;
    twi_otio_set_after(arena, timeline, "name", tw_json_new_text(arena, name), TW_STR("metadata"));
}

void twi_otio_stamp_set(tw_arena *arena, tw_json *timeline, const tw_stamp *stamp)
{
    tw_json *metadata = twi_otio_dict(arena, timeline, "metadata");
    tw_json *own = twi_otio_dict(arena, metadata, TWI_OTIO_SPACE);
    tw_json *size = tw_json_new(arena, TW_JSON_ARRAY);
    tw_json_append(size, tw_json_new_double(arena, stamp->size.w));
    tw_json_append(size, tw_json_new_double(arena, stamp->size.h));
    if (twi_otio_schema_of(timeline)->is != TWI_OTIO_IS_TRACK) /* its name is that of a track of the cut */
        set_name(arena, timeline, stamp->delivery);
    tw_json_set_sorted(arena, own, "delivery", tw_json_new_text(arena, stamp->delivery));
    tw_json_set_sorted(arena, own, "master", make_hash(arena, stamp->master_hash));
    tw_json_set_sorted(arena, own, "plan", make_hash(arena, stamp->plan_hash));
    tw_json_set_sorted(arena, own, "size", size);
    tw_json_set_sorted(arena, own, "version", tw_json_new_int(arena, 1));
    tw_json_set_sorted(arena, metadata, TWI_OTIO_SPACE, own);
    twi_otio_set_after(arena, timeline, "metadata", metadata, TW_STR("OTIO_SCHEMA"));
}
