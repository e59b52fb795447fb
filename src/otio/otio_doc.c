/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

#include <string.h>

#define MOST_USES 100000  /* references followed: in a chain of them each doubles what the one before does */
#define NAMES_SAID 8      /* timelines listed in a message */
#define TEXT_BEHIND 256   /* bytes of a line kept behind the value: files on one line are long */
#define TEXT_BEFORE 65536 /* columns past this one get no text */

/* ---- places ---------------------------------------------------------------------------------------------- */

static void find_lines(twi_otio *o)
{
    size_t cap = 0;
    const char *start = o->doc.bytes.at, *at = start, *end = start + o->doc.bytes.len;
    for (;;) {
        TW_PUSH(o->scratch, o->lines, o->line_count, cap) = (uint32_t)(at - start);
        at = memchr(at, '\n', (size_t)(end - at));
        if (at == NULL)
            return;
        at++;
    }
}

/* How many bytes of the input the value's own text takes; containers are shown by their first character. */
static size_t run_of(tw_str bytes, const tw_json *value)
{
    static const uint8_t words[] = {[TW_JSON_NULL] = 4, [TW_JSON_FALSE] = 5, [TW_JSON_TRUE] = 4};
    if (value->kind <= TW_JSON_TRUE)
        return words[value->kind];
    if (value->kind == TW_JSON_NUMBER)
        return value->text.len;
    if (value->kind != TW_JSON_STRING)
        return 1;
    size_t end = value->offset + 1;
    while (end < bytes.len && bytes.at[end] != '"')
        end += bytes.at[end] == '\\' ? 2 : 1;
    return end + 1 - value->offset;
}

/* An element of a list is shown by its schema's name: the brace it opens with says nothing. */
static const tw_json *shown(const tw_json *value)
{
    const tw_json *schema = value->key.at == NULL ? tw_json_get(value, "OTIO_SCHEMA") : NULL;
    return schema != NULL ? schema : value;
}

tw_place twi_otio_place(const twi_otio *o, const tw_json *value)
{
    value = value != NULL ? shown(value) : NULL;
    if (value == NULL || value->offset == UINT32_MAX)
        return (tw_place){.file = o->doc.file};
    size_t next;
    TW_SEARCH(next, o->line_count, o->lines[next] <= value->offset); /* the first line begins at 0 */
    size_t start = o->lines[next - 1];
    size_t end = next < o->line_count ? o->lines[next] - 1 : o->doc.bytes.len;
    if (end > start && o->doc.bytes.at[end - 1] == '\r')
        end--;
    size_t before = value->offset - start, run = run_of(o->doc.bytes, value);
    tw_str line = {o->doc.bytes.at + start, end - start};
    return (tw_place){
        .file = o->doc.file,
        .line = (uint32_t)next,
        .column = (uint32_t)before + 1,
        .width = (uint32_t)run,
        .text = before < TEXT_BEFORE ? tw_str_cut(line, before + run + TEXT_BEHIND) : (tw_str){NULL, 0},
    };
}

void twi_otio_say(twi_otio *o, int code, const tw_json *value, const char *format, ...)
{
    const tw_code *row = tw_code_find(code);
    tw_place place = twi_otio_place(o, value);
    /* A pointer costs a walk of the tree: only for findings that will be kept. */
    if (value != NULL && row != NULL && tw_diags_count(o->diags, row->severity) < TW_DIAGS_KEPT)
        place.pointer = tw_json_pointer(o->arena, &o->doc, value);
    va_list values;
    va_start(values, format);
    tw_diag_addv(o->diags, code, &place, format, values);
    va_end(values);
}

bool twi_otio_failed(const twi_otio *o)
{
    return tw_diags_count(o->diags, TW_ERROR) > o->errors;
}

/* ---- one look over the whole document -------------------------------------------------------------------- */

static void scan_schema(twi_otio *o, const tw_json *schema, bool foreign)
{
    const twi_otio_schema *row;
    int32_t newest;
    if (!tw_json_is(schema, TW_JSON_STRING) || !twi_otio_schema_find(schema->text, &row, &newest))
        twi_otio_say(o, foreign ? 1329 : 1303, schema, "OTIO_SCHEMA is no schema name: \"Name.1\" was expected%s",
                     foreign ? "; it stands in metadata and is kept, but the reference library refuses the file" : "");
    else if (row == NULL && newest > 0)
        twi_otio_say(o, foreign ? 1329 : 1302, schema, "%.*s is not a version this tool knows (up to %d)%s",
                     TW_ARG(schema->text), (int)newest,
                     foreign ? "; it stands in metadata and is kept, but the reference library refuses the file" : "");
}

static void add_shared(twi_otio *o, tw_json *object, const tw_json *id)
{
    if (!tw_json_is(id, TW_JSON_STRING))
        return;
    TW_PUSH(o->arena, o->shared, o->shared_count, o->shared_cap) = (twi_otio_shared){.id = id->text, .object = object};
}

/* Depth is what the JSON reader allows. foreign: inside metadata or a generator's parameters. */
static void scan(twi_otio *o, tw_json *value, bool foreign)
{
    bool object = tw_json_is(value, TW_JSON_OBJECT);
    if (object) {
        const tw_json *schema = tw_json_get(value, "OTIO_SCHEMA");
        if (schema != NULL)
            scan_schema(o, schema, foreign);
        if (schema != NULL && !foreign)
            add_shared(o, value, tw_json_get(value, "OTIO_REF_ID"));
    }
    for (tw_json *child = tw_json_first(value); child != NULL; child = child->next) {
        if (tw_json_first(child) == NULL)
            continue;
        bool beyond =
            object && (tw_str_eq(child->key, TW_STR("metadata")) || tw_str_eq(child->key, TW_STR("parameters")));
        scan(o, child, foreign || beyond);
    }
}

static int by_id(const void *a, const void *b)
{
    const twi_otio_shared *x = a, *y = b;
    return tw_then(tw_str_cmp(x->id, y->id), TW_CMP(x->object->offset, y->object->offset));
}

tw_status twi_otio_open(twi_otio *o, tw_str bytes, tw_str file)
{
    const tw_json_options options = {.nonfinite = true, .duplicates_warn = true, .bom_ok = true};
    tw_status status = tw_json_read(o->arena, bytes, file, &options, o->diags, &o->doc);
    if (status != TW_OK)
        return status;
    find_lines(o);
    scan(o, o->doc.root, false);
    TW_SORT(o->shared, o->shared_count, by_id);
    return TW_OK;
}

/* ---- shared objects -------------------------------------------------------------------------------------- */

static const twi_otio_shared *find_shared(const twi_otio *o, tw_str id)
{
    size_t i;
    TW_SEARCH(i, o->shared_count, tw_str_cmp(o->shared[i].id, id) < 0);
    return i < o->shared_count && tw_str_eq(o->shared[i].id, id) ? &o->shared[i] : NULL;
}

tw_json *twi_otio_resolve(twi_otio *o, tw_json *value)
{
    const twi_otio_schema *row = twi_otio_schema_of(value);
    if (row == NULL || row->is != TWI_OTIO_IS_REFERENCE)
        return value;
    const tw_json *id = tw_json_get(value, "id");
    if (!tw_json_is(id, TW_JSON_STRING)) {
        twi_otio_say(o, 1318, value, "a SerializableObjectRef.1 without the id of the object it stands for");
        return NULL;
    }
    const twi_otio_shared *shared = find_shared(o, id->text);
    if (shared == NULL) {
        twi_otio_say(o, 1318, id, "no object of the file has the OTIO_REF_ID \"%.*s\"", TW_ARG(id->text));
        return NULL;
    }
    if (++o->uses <= MOST_USES)
        return shared->object;
    if (o->uses == MOST_USES + 1)
        twi_otio_say(o, 1327, value, "more than %d references are followed: they multiply one another", MOST_USES);
    return NULL;
}

/* ---- which timeline -------------------------------------------------------------------------------------- */

typedef struct choice {
    tw_json **at;
    size_t count, cap;
} choice;

static void add_choice(twi_otio *o, choice *c, tw_json *value)
{
    TW_PUSH(o->arena, c->at, c->count, c->cap) = value;
}

/* Timelines of the root, through collections in collections; stacks and tracks, which can serve as one. */
static void gather(twi_otio *o, tw_json *value, choice *timelines, choice *parts)
{
    const twi_otio_schema *row = twi_otio_schema_of(value);
    twi_otio_class is = row != NULL ? row->is : TWI_OTIO_UNKNOWN;
    const tw_json *list = is == TWI_OTIO_IS_COLLECTION ? tw_json_get(value, "children") : NULL;
    if (is == TWI_OTIO_IS_TIMELINE)
        add_choice(o, timelines, value);
    if (is == TWI_OTIO_IS_STACK || is == TWI_OTIO_IS_TRACK)
        add_choice(o, parts, value);
    if (tw_json_is(value, TW_JSON_ARRAY))
        list = value;
    if (!tw_json_is(list, TW_JSON_ARRAY))
        return;
    for (tw_json *child = tw_json_first(list); child != NULL; child = child->next)
        gather(o, child, timelines, parts);
}

static tw_str names_of(twi_otio *o, const choice *c)
{
    tw_buf out = {.arena = o->arena};
    for (size_t i = 0; i < c->count && i < NAMES_SAID; i++) {
        tw_str name = twi_otio_text(c->at[i], "name");
        tw_buf_addf(&out, "%s#%zu \"%.*s\"", i > 0 ? ", " : "", i + 1, TW_ARG(name));
    }
    if (c->count > NAMES_SAID)
        tw_buf_addf(&out, " and %zu more", c->count - NAMES_SAID);
    return tw_buf_str(&out);
}

/* "#2": timelines may share a name, or have none. */
static size_t by_number(const choice *c, tw_str wanted)
{
    int64_t n;
    bool numbered = tw_str_starts(wanted, TW_STR("#")) && tw_num_int(tw_str_from(wanted, 1), &n);
    return numbered && n >= 1 && (uint64_t)n <= c->count ? (size_t)n - 1 : c->count;
}

/* Of a derived one also by its master's name. */
static bool is_called(const tw_json *timeline, tw_str wanted, bool bare)
{
    return tw_str_eq(bare ? twi_otio_bare_name(timeline) : twi_otio_text(timeline, "name"), wanted);
}

static void say_which(twi_otio *o, const tw_json *value, const choice *c, tw_str what)
{
    twi_otio_say(o, 1316, value, "%.*s: the file holds %.*s", TW_ARG(what), TW_ARG(names_of(o, c)));
    tw_diag_hint(o->diags, "name it with --timeline, or as \"timeline\" in the \"edit\" of a plan");
}

/* Its index among the choices; their count: none, or more than one, which was said. */
static size_t by_name(twi_otio *o, const choice *c, tw_str wanted)
{
    size_t found = c->count;
    for (int bare = 0; bare < 2 && found == c->count; bare++) {
        for (size_t i = 0; i < c->count; i++) {
            if (!is_called(c->at[i], wanted, bare == 1))
                continue;
            if (found < c->count) {
                say_which(o, c->at[i], c,
                          tw_arena_printf(o->arena, "a second timeline is called \"%.*s\"", TW_ARG(wanted)));
                return c->count;
            }
            found = i;
        }
    }
    if (found == c->count)
        found = by_number(c, wanted);
    if (found == c->count)
        say_which(o, o->doc.root, c, tw_arena_printf(o->arena, "no timeline is called \"%.*s\"", TW_ARG(wanted)));
    return found;
}

/* Nobody named one: the only one, or the only one that was made for a delivery. */
static size_t by_itself(twi_otio *o, const choice *c)
{
    size_t found = c->count, derived = 0;
    for (size_t i = 0; i < c->count; i++) {
        if (c->count > 1 && tw_json_get(twi_otio_space(c->at[i]), "delivery") == NULL)
            continue;
        found = i;
        derived++;
    }
    if (derived == 1)
        return found;
    say_which(o, o->doc.root, c, TW_STR("no timeline was named"));
    return c->count;
}

tw_json *twi_otio_choose(twi_otio *o, const tw_read_options *options)
{
    static const tw_read_options none = {.number = 0};
    choice timelines = {NULL, 0, 0}, parts = {NULL, 0, 0};
    gather(o, o->doc.root, &timelines, &parts);
    const choice *c = timelines.count > 0 ? &timelines : &parts;
    if (c->count == 0) {
        if (!twi_otio_failed(o))
            twi_otio_say(o, 1301, o->doc.root,
                         "the file holds %s and no timeline: a Timeline.1, or a collection of them, "
                         "was expected",
                         twi_otio_what(o->arena, o->doc.root));
        return NULL;
    }
    options = options != NULL ? options : &none;
    size_t found = options->timeline.len > 0                            ? by_name(o, c, options->timeline)
                   : options->number > 0 && options->number <= c->count ? options->number - 1
                                                                        : by_itself(o, c);
    if (found == c->count)
        return NULL;
    o->timeline->number = c->count > 1 ? found + 1 : 0;
    return c->at[found];
}
