/* SPDX-License-Identifier: Apache-2.0
 *
 * The one table of members. Order is the order of canonical text.
 */
#include "plan_internal.h"

#include <string.h>

#define SIZE_LIMIT 1000000 /* pixels a side, as geom.h has it */

/* clang-format off */
static const tw_plan_field fields[] = {
    /* where, name, type, required, line, choices, help */
    {"", "tallwide_plan", "integer", true, true, NULL, "version of this format: 1"},
    {"", "edit", "object", true, true, NULL, "the master edit"},
    {"", "deliveries", "objects", true, true, NULL, "what is to be made"},
    {"", "sources", "objects", false, true, NULL, "pictures the edit is made of; the first match counts"},
    {"", "motion", "object", false, true, NULL, "how windows may move"},
    {"", "notes", "objects", false, true, NULL, "what must be seen, by reel and source time"},
    {"", "conflict", "any", false, true, NULL, "reserved: what a merge could not join"},

    {"edit", "file", "text", true, false, NULL, "the edit, relative to the plan"},
    {"edit", "timeline", "text", false, false, NULL, "name of the timeline, or \"#2\", when the file holds several"},
    {"edit", "rate", "rate", false, false, NULL, "frames per second; text lists do not say theirs"},
    {"edit", "drop", "bool", false, false, NULL, "drop-frame time code; as the edit says where it is left out"},

    {"deliveries[]", "name", "text", true, false, NULL, "letters, digits, '-' and '_'; becomes part of file names"},
    {"deliveries[]", "size", "size", true, false, NULL, "pixels"},
    {"deliveries[]", "max_scale", "positive", false, false, NULL, "most delivery pixels for one source pixel; 1"},
    {"deliveries[]", "frame", "choice", false, false, "fill|fit", "fill it, or show the whole picture with bars"},
    {"deliveries[]", "moves", "choice", false, false, "auto|still|steps", "whether the window may move within a shot"},
    {"deliveries[]", "zoom", "bool", false, false, NULL, "the window's width may change within a shot"},
    {"deliveries[]", "steady", "share", false, false, NULL, "share of the camera's shake to take out; 0"},
    {"deliveries[]", "keys", "choice", false, false, "eased|bezier|linear", "form of the keyframes written"},
    {"deliveries[]", "formats", "texts", false, false, NULL, "formats to write"},
    {"deliveries[]", "safe", "text", false, false, NULL, "a standard's safe area to keep must regions in"},
    {"deliveries[]", "inset", "object", false, true, NULL, "share of the picture kept free at each edge"},
    {"deliveries[]", "conflict", "any", false, true, NULL, "reserved: what a merge could not join"},

    {"deliveries[].inset", "left", "share", false, false, NULL, "share of the width"},
    {"deliveries[].inset", "top", "share", false, false, NULL, "share of the height"},
    {"deliveries[].inset", "right", "share", false, false, NULL, "share of the width"},
    {"deliveries[].inset", "bottom", "share", false, false, NULL, "share of the height"},

    {"sources[]", "reel", "text", true, false, NULL, "reel, file or clip name; * and ? for reels and files, a lone * for the rest"},
    {"sources[]", "size", "size_or_null", false, false, NULL, "pixels; null while it is not known"},
    {"sources[]", "squeeze", "positive", false, false, NULL, "pixel aspect, 0.01 to 100; 1"},
    {"sources[]", "rate", "rate", false, false, NULL, "frames per second of the source; else as its clips count"},
    {"sources[]", "drop", "bool", false, false, NULL, "drop-frame time code in the source; else as its clips, else the edit"},
    {"sources[]", "kind", "choice", false, false, "camera|still|graphic", "graphics are shown whole, never cropped"},
    {"sources[]", "frame", "choice", false, false, "fill|fit", "fill, or show the whole picture with bars"},
    {"sources[]", "media", "objects", false, true, NULL, "the files that hold it"},
    {"sources[]", "conflict", "any", false, false, NULL, "reserved: what a merge could not join"},

    {"sources[].media[]", "file", "text", true, false, NULL, "the file, relative to the plan"},
    {"sources[].media[]", "reel", "text", false, false, NULL, "whose it is, where the source's reel is a pattern"},
    {"sources[].media[]", "start", "time", false, false, NULL, "its first frame; else what the file says"},
    {"sources[].media[]", "frames", "integer", false, false, NULL, "how many it holds; else what the file says"},
    {"sources[].media[]", "size", "size", false, false, NULL, "pixels, where not the source's"},
    {"sources[].media[]", "proxy", "bool", false, false, NULL, "a smaller copy, for looking at"},

    {"motion", "speeds", "speeds", false, false, NULL, "five rising speeds, widths a second; the last is a limit"},
    {"motion", "accel", "positive", false, false, NULL, "picture widths a second, a second"},
    {"motion", "ease", "positive", false, false, NULL, "half the length of an eased corner, seconds"},
    {"motion", "move_time", "positive", false, false, NULL, "time a move takes at least, seconds"},
    {"motion", "link", "positive", false, false, NULL, "shortest piece of a move, seconds"},
    {"motion", "hold", "positive", false, false, NULL, "shortest rest between moves, seconds"},
    {"motion", "zoom", "positive", false, false, NULL, "most change of width a second, as a share"},
    {"motion", "lazy", "zero_or_more", false, false, NULL, "above 0 windows travel less and compose less; seconds; 0"},
    {"motion", "settle", "bool", false, false, NULL, "rest where a move turns, if that costs little; true"},

    {"notes[]", "id", "text", true, false, NULL, "names the note; no two are the same"},
    {"notes[]", "reel", "text", true, false, NULL, "reel, file or clip name; * and ? for reels and files"},
    {"notes[]", "in", "time", false, false, NULL, "first source frame, as `list` tells it; without it from the reel's start"},
    {"notes[]", "out", "time", false, false, NULL, "source frame after the last; without it to the reel's end"},
    {"notes[]", "deliveries", "texts", false, false, NULL, "names of the deliveries it is for; none: all"},
    {"notes[]", "moves", "choice", false, false, "auto|still|steps", "overrules the delivery's"},
    {"notes[]", "subject_fill", "part", false, false, NULL, "share of the window's height the subject should take"},
    {"notes[]", "steady", "share", false, false, NULL, "overrules the delivery's"},
    {"notes[]", "movement", "text", false, true, NULL, "the camera's movement, relative to the plan (frame,dx,dy)"},
    {"notes[]", "window", "window_keys", false, true, NULL, "framing by hand, in source pixels"},
    {"notes[]", "regions", "objects", false, true, NULL, "what must be seen"},
    {"notes[]", "say", "text", false, true, NULL, "words for people"},
    {"notes[]", "by", "text", false, false, NULL, "who wrote it"},
    {"notes[]", "state", "choice", false, false, "open|agreed|done|conflict", "where the talk about it stands"},
    {"notes[]", "agreed", "any", false, true, NULL, "reserved: what was agreed on"},
    {"notes[]", "conflict", "any", false, true, NULL, "reserved: what a merge could not join"},

    {"notes[].regions[]", "name", "text", true, false, NULL, "names the region; once in a note"},
    {"notes[].regions[]", "need", "choice", true, false, "must|nice", "must be held, or is nice to have"},
    {"notes[].regions[]", "weight", "positive", false, false, NULL, "importance among others of its kind; 1"},
    {"notes[].regions[]", "origin", "choice", false, false, "hand|detector", "drawn by a person or found by a program"},
    {"notes[].regions[]", "look", "choice", false, false, "left|right|none", "where the subject looks or goes"},
    {"notes[].regions[]", "focus", "point", false, false, NULL, "the point that counts most, shares of the box"},
    {"notes[].regions[]", "track", "text", false, false, NULL, "boxes, relative to the plan (MOTChallenge CSV); keys beside it win"},
    {"notes[].regions[]", "track_id", "integer", false, false, NULL, "whose boxes in the table"},
    {"notes[].regions[]", "track_start", "time_or_frame", false, false, NULL, "time of its frame 1"},
    {"notes[].regions[]", "keys", "region_keys", false, false, NULL, "boxes, in shares of the picture"},
};
/* clang-format on */

const tw_plan_field *tw_plan_fields(size_t *count)
{
    *count = TW_COUNT(fields);
    return fields;
}

twi_section twi_plan_section(const char *where)
{
    twi_section section = {.fields = NULL};
    for (size_t i = 0; i < TW_COUNT(fields); i++) {
        if (strcmp(fields[i].where, where) != 0)
            continue;
        if (section.count++ == 0)
            section.fields = &fields[i];
        section.lines = section.lines || fields[i].line;
    }
    return section;
}

const tw_plan_field *twi_plan_field(twi_section section, tw_str name)
{
    for (size_t i = 0; i < section.count; i++)
        if (tw_str_is(name, section.fields[i].name))
            return &section.fields[i];
    return NULL;
}

const char *twi_plan_inside(const tw_plan_field *field)
{
    if (strcmp(field->type, "object") != 0 && strcmp(field->type, "objects") != 0)
        return NULL;
    const char *tail = field->type[6] == 's' ? "[]" : "";
    size_t head = strlen(field->where), name = strlen(field->name);
    for (size_t i = 0; i < TW_COUNT(fields); i++) {
        const char *w = fields[i].where;
        if (head > 0 && (strncmp(w, field->where, head) != 0 || w[head] != '.'))
            continue;
        w += head > 0 ? head + 1 : 0;
        if (strncmp(w, field->name, name) == 0 && strcmp(w + name, tail) == 0)
            return fields[i].where;
    }
    return NULL;
}

/* ---- types ----------------------------------------------------------------------------------------------- */

static bool is_any(const tw_json *v)
{
    return v != NULL;
}

static bool is_text(const tw_json *v)
{
    return tw_json_is(v, TW_JSON_STRING);
}

static bool is_bool(const tw_json *v)
{
    return tw_json_is(v, TW_JSON_TRUE) || tw_json_is(v, TW_JSON_FALSE);
}

static bool is_integer(const tw_json *v)
{
    int64_t n;
    return tw_json_int(v, &n);
}

static bool is_positive(const tw_json *v)
{
    double n;
    return tw_json_double(v, &n) && n > 0;
}

static bool is_zero_or_more(const tw_json *v)
{
    double n;
    return tw_json_double(v, &n) && n >= 0;
}

static bool is_share(const tw_json *v)
{
    double n;
    return tw_json_double(v, &n) && n >= 0 && n <= 1;
}

static bool is_part(const tw_json *v)
{
    return is_positive(v) && is_share(v);
}

static bool is_object(const tw_json *v)
{
    return tw_json_is(v, TW_JSON_OBJECT);
}

static bool all(const tw_json *v, bool (*fits)(const tw_json *))
{
    if (!tw_json_is(v, TW_JSON_ARRAY))
        return false;
    for (const tw_json *e = tw_json_first(v); e != NULL; e = e->next)
        if (!fits(e))
            return false;
    return true;
}

static bool is_list(const tw_json *v)
{
    return tw_json_is(v, TW_JSON_ARRAY);
}

static bool is_texts(const tw_json *v)
{
    return all(v, is_text);
}

static bool is_side(const tw_json *v)
{
    int64_t n;
    return tw_json_int(v, &n) && n >= 1 && n <= SIZE_LIMIT;
}

static bool is_size(const tw_json *v)
{
    return all(v, is_side) && v->count == 2;
}

static bool is_size_or_null(const tw_json *v)
{
    return tw_json_is(v, TW_JSON_NULL) || is_size(v);
}

static bool is_point(const tw_json *v)
{
    return all(v, is_share) && v->count == 2;
}

static bool is_speeds(const tw_json *v)
{
    if (!all(v, is_positive) || v->count != 5)
        return false;
    double last = 0, n;
    for (const tw_json *e = tw_json_first(v); e != NULL; e = e->next) {
        if (!tw_json_double(e, &n) || n <= last)
            return false;
        last = n;
    }
    return true;
}

static bool is_rate(const tw_json *v)
{
    tw_rate rate;
    bool drop;
    return (tw_json_is(v, TW_JSON_STRING) || tw_json_is(v, TW_JSON_NUMBER)) && tw_rate_read(v->text, &rate, &drop);
}

static bool is_time_or_frame(const tw_json *v)
{
    return is_text(v) || is_integer(v);
}

static const struct {
    const char *name;
    bool (*fits)(const tw_json *);
    const char *said;
} types[] = {
    {"any", is_any, "anything"},
    {"text", is_text, "a text"},
    {"bool", is_bool, "true or false"},
    {"integer", is_integer, "a whole number"},
    {"positive", is_positive, "a number above 0"},
    {"zero_or_more", is_zero_or_more, "a number from 0 on"},
    {"share", is_share, "a number from 0 to 1"},
    {"part", is_part, "a number above 0, at most 1"},
    {"object", is_object, "an object"},
    {"objects", is_list, "a list of objects"},
    {"texts", is_texts, "a list of texts"},
    {"size", is_size, "[width, height] in whole pixels, each from 1 to 1000000"},
    {"size_or_null", is_size_or_null, "[width, height] in whole pixels, each from 1 to 1000000, or null"},
    {"point", is_point, "[across, down], two numbers from 0 to 1"},
    {"speeds", is_speeds, "a list of five rising numbers above 0"},
    {"rate", is_rate, "a frame rate like \"24\", \"25/1\", \"30000/1001\" or \"29.97df\""},
    {"time", is_text, "a time code text \"HH:MM:SS:FF\""},
    {"time_or_frame", is_time_or_frame, "a time code text \"HH:MM:SS:FF\" or a whole number of frames"},
    {"region_keys", is_list, "a list of [time, left, top, width, height]"},
    {"window_keys", is_list, "a list of [frame or time, left, top, width, ease]"},
};

static size_t type_of(const tw_plan_field *field)
{
    size_t i = 0;
    while (i < TW_COUNT(types) && strcmp(types[i].name, field->type) != 0)
        i++;
    return i;
}

/* Is text one of "a|b|c"? Its index, or -1. */
static int choice_index(const char *choices, tw_str text)
{
    int index = 0;
    for (const char *c = choices;; index++) {
        size_t n = strcspn(c, "|");
        if (tw_str_eq((tw_str){c, n}, text))
            return index;
        if (c[n] == '\0')
            return -1;
        c += n + 1;
    }
}

bool twi_plan_fits(const tw_plan_field *field, const tw_json *value)
{
    if (field->choices != NULL)
        return is_text(value) && choice_index(field->choices, value->text) >= 0;
    size_t type = type_of(field);
    return type < TW_COUNT(types) && types[type].fits(value);
}

const char *tw_plan_takes(const tw_plan_field *field)
{
    size_t type = type_of(field);
    return type < TW_COUNT(types) ? types[type].said : field->choices;
}

/* ---- taking values --------------------------------------------------------------------------------------- */

double twi_plan_number(const tw_json *object, const char *name, double otherwise)
{
    double value;
    return tw_json_double(tw_json_get(object, name), &value) ? value : otherwise;
}

tw_str twi_plan_text(const tw_json *object, const char *name)
{
    const tw_json *value = tw_json_get(object, name);
    return is_text(value) ? value->text : (tw_str){NULL, 0};
}

bool twi_plan_flag(const tw_json *object, const char *name, bool otherwise)
{
    const tw_json *value = tw_json_get(object, name);
    return is_bool(value) ? value->kind == TW_JSON_TRUE : otherwise;
}

int twi_plan_choice(twi_section section, const tw_json *object, const char *name, int otherwise)
{
    const tw_json *value = tw_json_get(object, name);
    const tw_plan_field *field = twi_plan_field(section, tw_str_z(name));
    if (!is_text(value) || field == NULL || field->choices == NULL)
        return otherwise;
    int index = choice_index(field->choices, value->text);
    return index >= 0 ? index : otherwise;
}

size_t twi_plan_list(const tw_json *object, const char *name, const tw_json **first)
{
    const tw_json *list = tw_json_get(object, name);
    *first = is_list(list) ? tw_json_first(list) : NULL;
    return is_list(list) ? list->count : 0;
}
