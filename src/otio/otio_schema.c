/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* clang-format off */
static const twi_otio_field meta_fields[] = {
    {"metadata", TWI_OTIO_DICT, false, false},
    {"name", TWI_OTIO_TEXT, false, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field timeline_fields[] = {
    {"global_start_time", TWI_OTIO_OBJECT, false, true},
    {"tracks", TWI_OTIO_OBJECT, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

#define ITEM_FIELDS                                                                                                    \
    {"metadata", TWI_OTIO_DICT, false, false}, {"name", TWI_OTIO_TEXT, false, true},                                   \
    {"source_range", TWI_OTIO_OBJECT, false, true}, {"effects", TWI_OTIO_LIST, false, false},                          \
    {"markers", TWI_OTIO_LIST, false, false}, {"enabled", TWI_OTIO_BOOL, false, false},                                \
    {"color", TWI_OTIO_OBJECT, false, true}, {NULL, TWI_OTIO_TEXT, false, false}

static const twi_otio_field item_fields[] = {ITEM_FIELDS};

static const twi_otio_field stack_fields[] = {
    {"children", TWI_OTIO_LIST, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field track_fields[] = {
    {"children", TWI_OTIO_LIST, true, false},
    {"kind", TWI_OTIO_TEXT, true, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field clip1_fields[] = {
    {"media_reference", TWI_OTIO_OBJECT, false, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field clip2_fields[] = {
    {"media_references", TWI_OTIO_DICT, true, false},
    {"active_media_reference_key", TWI_OTIO_TEXT, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field transition_fields[] = {
    {"in_offset", TWI_OTIO_OBJECT, true, false},
    {"out_offset", TWI_OTIO_OBJECT, true, false},
    {"transition_type", TWI_OTIO_TEXT, true, true},
    {"enabled", TWI_OTIO_BOOL, false, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field effect_fields[] = {
    {"effect_name", TWI_OTIO_TEXT, true, true},
    {"enabled", TWI_OTIO_BOOL, false, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field warp_fields[] = {
    {"effect_name", TWI_OTIO_TEXT, true, true},
    {"enabled", TWI_OTIO_BOOL, false, false},
    {"time_scalar", TWI_OTIO_NUMBER, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field marker1_fields[] = {
    {"range", TWI_OTIO_OBJECT, true, false},
    {"color", TWI_OTIO_TEXT, false, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field marker2_fields[] = {
    {"marked_range", TWI_OTIO_OBJECT, true, false},
    {"color", TWI_OTIO_TEXT, false, true},
    {"comment", TWI_OTIO_TEXT, false, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field marker3_fields[] = {
    {"marked_range", TWI_OTIO_OBJECT, true, false},
    {"color", TWI_OTIO_OBJECT, false, true},
    {"comment", TWI_OTIO_TEXT, false, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field media_fields[] = {
    {"metadata", TWI_OTIO_DICT, false, false},
    {"name", TWI_OTIO_TEXT, false, true},
    {"available_range", TWI_OTIO_OBJECT, false, true},
    {"available_image_bounds", TWI_OTIO_OBJECT, false, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field file_fields[] = {
    {"target_url", TWI_OTIO_TEXT, true, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field generator_fields[] = {
    {"generator_kind", TWI_OTIO_TEXT, true, true},
    {"parameters", TWI_OTIO_DICT, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field images_fields[] = {
    {"target_url_base", TWI_OTIO_TEXT, true, true},
    {"name_prefix", TWI_OTIO_TEXT, true, true},
    {"name_suffix", TWI_OTIO_TEXT, true, true},
    {"start_frame", TWI_OTIO_INT, true, false},
    {"frame_step", TWI_OTIO_INT, true, false},
    {"rate", TWI_OTIO_NUMBER, true, false},
    {"frame_zero_padding", TWI_OTIO_INT, true, false},
    {"missing_frame_policy", TWI_OTIO_TEXT, true, true},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field collection_fields[] = {
    {"children", TWI_OTIO_LIST, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field time_fields[] = {
    {"rate", TWI_OTIO_NUMBER, true, false},
    {"value", TWI_OTIO_NUMBER, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field range_fields[] = {
    {"duration", TWI_OTIO_OBJECT, true, false},
    {"start_time", TWI_OTIO_OBJECT, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

static const twi_otio_field reference_fields[] = {
    {"id", TWI_OTIO_TEXT, true, false},
    {NULL, TWI_OTIO_TEXT, false, false}};

/* Every schema of releases 0.12 to 0.18 and of main, with the old names; rows of one name stand together. */
static const twi_otio_schema schemas[] = {
    {"Clip", 1, 1, TWI_OTIO_IS_CLIP, TWI_OTIO_COMPOSABLE, clip1_fields, item_fields},
    {"Clip", 2, 2, TWI_OTIO_IS_CLIP, TWI_OTIO_COMPOSABLE, clip2_fields, item_fields},
    {"RationalTime", 1, 1, TWI_OTIO_IS_TIME, TWI_OTIO_VALUE, time_fields, NULL},
    {"TimeRange", 1, 1, TWI_OTIO_IS_RANGE, TWI_OTIO_VALUE, range_fields, NULL},
    {"ExternalReference", 1, 1, TWI_OTIO_IS_FILE, TWI_OTIO_MEDIA, file_fields, media_fields},
    {"MissingReference", 1, 1, TWI_OTIO_IS_MISSING, TWI_OTIO_MEDIA, NULL, media_fields},
    {"Gap", 1, 1, TWI_OTIO_IS_GAP, TWI_OTIO_COMPOSABLE, NULL, item_fields},
    {"Transition", 1, 1, TWI_OTIO_IS_TRANSITION, TWI_OTIO_COMPOSABLE, transition_fields, meta_fields},
    {"Effect", 1, 1, TWI_OTIO_IS_EFFECT, TWI_OTIO_EFFECT, effect_fields, meta_fields},
    {"Marker", 1, 1, TWI_OTIO_IS_MARKER, TWI_OTIO_MARKER, marker1_fields, meta_fields},
    {"Marker", 2, 2, TWI_OTIO_IS_MARKER, TWI_OTIO_MARKER, marker2_fields, meta_fields},
    {"Marker", 3, 3, TWI_OTIO_IS_MARKER, TWI_OTIO_MARKER, marker3_fields, meta_fields},
    {"LinearTimeWarp", 1, 1, TWI_OTIO_IS_WARP, TWI_OTIO_EFFECT, warp_fields, meta_fields},
    {"FreezeFrame", 1, 1, TWI_OTIO_IS_FREEZE, TWI_OTIO_EFFECT, warp_fields, meta_fields},
    {"TimeEffect", 1, 1, TWI_OTIO_IS_TIME_EFFECT, TWI_OTIO_EFFECT, effect_fields, meta_fields},
    {"GeneratorReference", 1, 1, TWI_OTIO_IS_GENERATOR, TWI_OTIO_MEDIA, generator_fields, media_fields},
    {"ImageSequenceReference", 1, 1, TWI_OTIO_IS_IMAGES, TWI_OTIO_MEDIA, images_fields, media_fields},
    {"Track", 1, 1, TWI_OTIO_IS_TRACK, TWI_OTIO_COMPOSABLE, track_fields, item_fields},
    {"Stack", 1, 1, TWI_OTIO_IS_STACK, TWI_OTIO_COMPOSABLE, stack_fields, item_fields},
    {"Timeline", 1, 1, TWI_OTIO_IS_TIMELINE, TWI_OTIO_TIMELINE, timeline_fields, meta_fields},
    {"SerializableCollection", 1, 1, TWI_OTIO_IS_COLLECTION, TWI_OTIO_COLLECTION, collection_fields, meta_fields},
    {"Color", 1, 1, TWI_OTIO_IS_COLOR, TWI_OTIO_VALUE, NULL, NULL},
    {"Box2d", 1, 1, TWI_OTIO_IS_OTHER, TWI_OTIO_VALUE, NULL, NULL},
    {"V2d", 1, 1, TWI_OTIO_IS_OTHER, TWI_OTIO_VALUE, NULL, NULL},
    {"TimeTransform", 1, 1, TWI_OTIO_IS_OTHER, TWI_OTIO_VALUE, NULL, NULL},
    {"SerializableObjectRef", 1, 1, TWI_OTIO_IS_REFERENCE, TWI_OTIO_REFERENCE, reference_fields, NULL},
    /* names of before 0.12 */
    {"Sequence", 1, 1, TWI_OTIO_IS_TRACK, TWI_OTIO_COMPOSABLE, track_fields, item_fields},
    {"Filler", 1, 1, TWI_OTIO_IS_GAP, TWI_OTIO_COMPOSABLE, NULL, item_fields},
    {"SerializeableCollection", 1, 1, TWI_OTIO_IS_COLLECTION, TWI_OTIO_COLLECTION, collection_fields, meta_fields},
    /* base classes, which can legally appear */
    {"Composable", 1, 1, TWI_OTIO_IS_ITEM, TWI_OTIO_COMPOSABLE, NULL, meta_fields},
    {"Item", 1, 1, TWI_OTIO_IS_ITEM, TWI_OTIO_COMPOSABLE, NULL, item_fields},
    {"Composition", 1, 1, TWI_OTIO_IS_ITEM, TWI_OTIO_COMPOSABLE, NULL, item_fields},
    {"MediaReference", 1, 1, TWI_OTIO_IS_MEDIA, TWI_OTIO_MEDIA, NULL, media_fields},
    {"SerializableObject", 1, 1, TWI_OTIO_IS_OTHER, TWI_OTIO_VALUE, NULL, NULL},
    {"SerializableObjectWithMetadata", 1, 1, TWI_OTIO_IS_OTHER, TWI_OTIO_VALUE, NULL, meta_fields},
};
/* clang-format on */

/* "Name.N": the name, and N as a number. */
static bool split(tw_str text, tw_str *name, int64_t *version)
{
    size_t dot = text.len;
    while (dot > 0 && text.at[dot - 1] != '.')
        dot--;
    if (dot < 2)
        return false;
    tw_str number = tw_str_from(text, dot);
    *name = tw_str_cut(text, dot - 1);
    return number.len > 0 && number.at[0] >= '0' && number.at[0] <= '9' && tw_num_int(number, version);
}

bool twi_otio_schema_find(tw_str text, const twi_otio_schema **row, int32_t *newest)
{
    tw_str name;
    int64_t version;
    *row = NULL;
    *newest = 0;
    if (!split(text, &name, &version))
        return false;
    for (size_t i = 0; i < TW_COUNT(schemas); i++) {
        if (name.at[0] != schemas[i].name[0] || !tw_str_is(name, schemas[i].name)) {
            if (*newest > 0)
                break; /* past the rows of the name */
            continue;
        }
        *newest = schemas[i].last;
        if (version >= schemas[i].first && version <= schemas[i].last)
            *row = &schemas[i];
    }
    return true;
}

const twi_otio_schema *twi_otio_schema_of(const tw_json *object)
{
    const tw_json *schema = tw_json_get(object, "OTIO_SCHEMA");
    const twi_otio_schema *row = NULL;
    int32_t newest;
    if (!tw_json_is(schema, TW_JSON_STRING) || !twi_otio_schema_find(schema->text, &row, &newest))
        return NULL;
    return row;
}
