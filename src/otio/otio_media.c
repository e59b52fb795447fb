/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* ---- one reference --------------------------------------------------------------------------------------- */

static tw_media_kind kind_of(twi_otio_class is)
{
    switch (is) {
    case TWI_OTIO_IS_FILE: return TW_MEDIA_FILE;
    case TWI_OTIO_IS_IMAGES: return TW_MEDIA_IMAGES;
    case TWI_OTIO_IS_GENERATOR: return TW_MEDIA_GENERATOR;
    case TWI_OTIO_IS_MISSING: return TW_MEDIA_MISSING;
    default: return TW_MEDIA_UNKNOWN;
    }
}

/* "base/prefix%04dsuffix": the number is that of the image, printf fashion. */
static tw_str image_pattern(twi_otio *o, const tw_json *media)
{
    tw_str base = twi_otio_text(media, "target_url_base");
    tw_buf url = {.arena = o->arena};
    tw_buf_add(&url, base);
    if (base.len > 0 && base.at[base.len - 1] != '/')
        tw_buf_addc(&url, '/');
    tw_buf_add(&url, twi_otio_text(media, "name_prefix"));
    int64_t digits = 0;
    tw_json_int(tw_json_get(media, "frame_zero_padding"), &digits);
    if (digits > 0)
        tw_buf_addf(&url, "%%0%lldd", (long long)digits);
    else
        tw_buf_addz(&url, "%d");
    tw_buf_add(&url, twi_otio_text(media, "name_suffix"));
    return tw_buf_str(&url);
}

static void read_names(twi_otio *o, const tw_json *object, tw_media *media)
{
    media->name = twi_otio_text(object, "name");
    if (media->kind == TW_MEDIA_FILE)
        media->url = twi_otio_text(object, "target_url");
    if (media->kind == TW_MEDIA_GENERATOR)
        media->name = twi_otio_text(object, "generator_kind");
    double fps = 0;
    if (media->kind != TW_MEDIA_IMAGES)
        return;
    media->url = image_pattern(o, object);
    const tw_json *rate = tw_json_get(object, "rate");
    if (!tw_json_double(rate, &fps) || !tw_rate_snap(fps, &media->rate, NULL))
        twi_otio_say(o, 1306, rate, "an image sequence at %s: a rate above 0 is expected",
                     twi_otio_what(o->arena, rate));
}

/* What is wrong with it is said; the clip can do without. *object is the resolved one. */
static bool read_media(twi_otio *o, tw_json **object, tw_media *media, twi_otio_range *available)
{
    const twi_otio_schema *row;
    if (!twi_otio_object(o, object, TWI_OTIO_MEDIA, "a media reference", &row))
        return false;
    if (row == NULL)
        twi_otio_say(o, 1313, *object, "%s is a media reference nobody knows: kept as it is",
                     twi_otio_what(o->arena, *object));
    media->kind = row != NULL ? kind_of(row->is) : TW_MEDIA_UNKNOWN;
    read_names(o, *object, media);
    tw_json *range = twi_otio_member(*object, "available_range");
    if (range == NULL || (row == NULL && !tw_json_is(range, TW_JSON_OBJECT)))
        return true;
    if (!twi_otio_range_read(o, range, available)) {
        available->dur = NULL;
        return true;
    }
    media->has_available = true;
    media->available = available->at;
    if (!tw_rate_known(media->rate))
        media->rate = available->start_rate;
    return true;
}

/* ---- all of a clip's ------------------------------------------------------------------------------------- */

static void read_single(twi_otio *o, tw_json *clip, tw_item *item, tw_json **active, twi_otio_range *available)
{
    item->media = TW_NEW(o->arena, tw_media);
    item->media_count = 1;
    item->media_active = 0;
    item->media->key = TW_STR("DEFAULT_MEDIA"); /* as the reference library names it when it upgrades a Clip.1 */
    tw_json *object = twi_otio_member(clip, "media_reference");
    if (object != NULL && read_media(o, &object, item->media, available))
        *active = object;
}

static void read_several(twi_otio *o, tw_json *clip, tw_item *item, tw_json **active, twi_otio_range *available)
{
    const tw_json *all = tw_json_get(clip, "media_references");
    const tw_json *key = tw_json_get(clip, "active_media_reference_key");
    item->media = TW_NEW_N(o->arena, tw_media, all->count);
    for (tw_json *entry = tw_json_first(all); entry != NULL; entry = entry->next) {
        twi_otio_range range = {.dur = NULL};
        tw_json *object = entry;
        tw_media *media = &item->media[item->media_count];
        media->key = entry->key;
        if (!read_media(o, &object, media, &range))
            continue;
        if (item->media_active == SIZE_MAX && tw_str_eq(entry->key, tw_json_text(key))) {
            item->media_active = item->media_count;
            *active = object;
            *available = range;
        }
        item->media_count++;
    }
    if (item->media_active == SIZE_MAX)
        twi_otio_say(o, 1311, key, "no media reference is called \"%.*s\": the clip is taken to have no media",
                     TW_ARG(tw_json_text(key)));
}

void twi_otio_media(twi_otio *o, tw_json *clip, tw_item *item, tw_json **active, twi_otio_range *available)
{
    *active = NULL;
    available->dur = NULL;
    const twi_otio_schema *row = twi_otio_schema_of(clip);
    if (row != NULL && row->first > 1)
        read_several(o, clip, item, active, available);
    else
        read_single(o, clip, item, active, available);
}

/* ---- reel ------------------------------------------------------------------------------------------------ */

static const char *const reel_words[] = {"reel", "tape", "tape_name"};

static bool is_named(const tw_json *member, const char *word)
{
    return member->kind == TW_JSON_STRING && member->text.len > 0 && tw_str_ieq(member->key, tw_str_z(word));
}

bool twi_otio_is_reel(const tw_json *member)
{
    bool is = false;
    for (size_t w = 0; w < TW_COUNT(reel_words); w++)
        is = is || is_named(member, reel_words[w]);
    return is;
}

static tw_str reel_among(const tw_json *dict)
{
    for (size_t w = 0; w < TW_COUNT(reel_words); w++)
        for (const tw_json *m = tw_json_is(dict, TW_JSON_OBJECT) ? tw_json_first(dict) : NULL; m != NULL; m = m->next)
            if (is_named(m, reel_words[w]))
                return m->text;
    return (tw_str){NULL, 0};
}

/* In the metadata itself, or one level down in anybody's namespace. */
static tw_str reel_in(const tw_json *object)
{
    const tw_json *metadata = tw_json_get(object, "metadata");
    tw_str reel = reel_among(metadata);
    const tw_json *space = tw_json_is(metadata, TW_JSON_OBJECT) ? tw_json_first(metadata) : NULL;
    for (; space != NULL && reel.len == 0; space = space->next)
        reel = reel_among(space);
    return reel;
}

/* RFC 3986 2.1: "%20" in a URL is a blank. Left alone in plain paths, which may hold a real '%'. */
static tw_str unescaped(tw_arena *arena, tw_str url, tw_str name)
{
    if (!tw_str_holds(url, TW_STR("://")))
        return name;
    tw_buf out = {.arena = arena};
    for (size_t i = 0; i < name.len; i++) {
        uint64_t code = 0;
        bool coded = name.at[i] == '%' && i + 2 < name.len && tw_num_hex((tw_str){name.at + i + 1, 2}, &code);
        bool fine = coded && code >= 0x20;
        tw_buf_addc(&out, fine ? (char)code : name.at[i]);
        i += fine ? 2 : 0;
    }
    return tw_buf_str(&out);
}

static tw_str file_name(twi_otio *o, const tw_json *media, const tw_media *m)
{
    if (m->kind == TW_MEDIA_FILE)
        return unescaped(o->arena, m->url, tw_str_stem(m->url));
    if (m->kind != TW_MEDIA_IMAGES)
        return (tw_str){NULL, 0};
    tw_str prefix = twi_otio_text(media, "name_prefix"); /* "A003_C001." without what parts it from the number */
    while (prefix.len > 0 && (prefix.at[prefix.len - 1] == '.' || prefix.at[prefix.len - 1] == '_' ||
                              prefix.at[prefix.len - 1] == '-' || prefix.at[prefix.len - 1] == ' '))
        prefix.len--;
    return prefix;
}

tw_str twi_otio_reel(twi_otio *o, const tw_json *clip, const tw_json *media, const tw_item *item)
{
    const tw_media *m = tw_item_media(item);
    tw_str reel = reel_in(clip);
    if (reel.len == 0)
        reel = reel_in(media);
    if (reel.len == 0 && m != NULL && media != NULL)
        reel = file_name(o, media, m);
    if (reel.len == 0 && m != NULL && m->kind != TW_MEDIA_GENERATOR)
        reel = m->name;
    return reel.len > 0 ? reel : item->name;
}
