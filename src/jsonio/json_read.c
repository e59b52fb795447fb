/* SPDX-License-Identifier: Apache-2.0
 *
 * Reading: scan, parse with cJSON, join. cJSON gives the tree and the decoded texts; places and numbers come from the
 * scan, since cJSON keeps neither (it turns 9007199254740993 into 9.00719925474099e+15).
 */
#include "json_internal.h"

#include <stdlib.h>
#include <string.h>

#include <cjson/cJSON.h>

#define FEW_MEMBERS 24 /* up to here names are compared pair by pair */

typedef struct joiner {
    twi_json_job *job;
    twi_json_chunk *chunk; /* where the next node comes from */
    uint32_t next;
    const tw_json **members; /* scratch for objects with many members */
    size_t cap;
    tw_status status;
} joiner;

/* ---- what cJSON gets ------------------------------------------------------------------------------------- */

static bool cjson_takes(const tw_json *node)
{
    return node->text.len <= TWI_JSON_CJSON_DIGITS && !twi_json_nonfinite(node->text);
}

/* The text as cJSON can take it: numbers it would refuse become 0, padded to the same length. Numbers of cJSON are
 * never used, so nothing is lost. */
static tw_str plain_text(const twi_json_job *job)
{
    if (!job->foreign)
        return job->text;
    char *copy = tw_arena_dupz(job->arena, job->text);
    for (const twi_json_chunk *chunk = job->chunks; chunk != NULL; chunk = chunk->next) {
        for (uint32_t i = 0; i < chunk->len; i++) {
            const tw_json *node = &chunk->at[i];
            const char c = job->doc.bytes.at[node->offset];
            if (c == '"' || node->text.len == 0 || cjson_takes(node))
                continue;
            char *number = copy + (node->text.at - job->text.at);
            memset(number, ' ', node->text.len);
            *number = '0';
        }
    }
    return (tw_str){copy, job->text.len};
}

/* ---- repeated names -------------------------------------------------------------------------------------- */

int twi_json_by_key(const void *a, const void *b)
{
    const tw_json *x = *(const tw_json *const *)a, *y = *(const tw_json *const *)b;
    int order = tw_str_cmp(x->key, y->key);
    return order != 0 ? order : (x->offset > y->offset) - (x->offset < y->offset);
}

#define REPEATED TWI_JSON_KEY_ESCAPED /* mark of a member whose name came before; the bit is free by now */

static bool mark_few(const tw_json *object)
{
    bool any = false;
    for (tw_json *m = object->child->next; m != NULL; m = m->next) {
        const tw_json *before = object->child;
        while (before != m && !tw_str_eq(before->key, m->key))
            before = before->next;
        if (before != m) {
            m->kind |= REPEATED;
            any = true;
        }
    }
    return any;
}

static bool mark_many(joiner *j, const tw_json *object)
{
    size_t n = 0;
    for (tw_json *m = object->child; m != NULL; m = m->next) {
        j->members = tw_arena_grow(j->job->arena, (void *)j->members, n, &j->cap, sizeof *j->members);
        j->members[n++] = m;
    }
    qsort((void *)j->members, n, sizeof *j->members, twi_json_by_key);
    bool any = false;
    for (size_t i = 1; i < n; i++) {
        if (tw_str_eq(j->members[i - 1]->key, j->members[i]->key)) {
            ((tw_json *)j->members[i])->kind |= REPEATED;
            any = true;
        }
    }
    return any;
}

static void tell_repeated(joiner *j, const tw_json *member)
{
    twi_json_job *job = j->job;
    bool warn = job->options->duplicates_warn;
    tw_place place = {.line = 0}; /* finding the line costs a look at all bytes before it: only for what is shown */
    if (tw_diags_count(job->diags, warn ? TW_WARNING : TW_ERROR) < TW_DIAGS_KEPT)
        place = tw_json_name_place(&job->doc, member);
    tw_diag_add(job->diags, warn ? 1114 : 1113, &place,
                warn ? "the name \"%.*s\" was used before in this object: the first value counts, this one was left out"
                     : "the name \"%.*s\" was used before in this object: remove or rename one of them",
                TW_ARG(tw_str_cut(member->key, 60)));
    if (!warn)
        j->status = TW_ERR_SYNTAX;
}

/* Only the first of several members of one name stays in the tree. */
static void drop_repeated(joiner *j, tw_json *object)
{
    tw_json *kept = object->child; /* the first is never a repetition */
    for (tw_json *m = kept->next; m != NULL; m = m->next) {
        if ((m->kind & REPEATED) == 0) {
            kept->next = m;
            kept = m;
            continue;
        }
        m->kind &= (uint8_t)~REPEATED;
        tell_repeated(j, m);
        object->count--;
    }
    kept->next = NULL;
    object->last = kept;
}

/* ---- joining --------------------------------------------------------------------------------------------- */

static tw_json *next_node(joiner *j)
{
    if (j->next == j->chunk->len) {
        j->chunk = j->chunk->next;
        j->next = 0;
    }
    return &j->chunk->at[j->next++];
}

static tw_json_kind kind_of(const cJSON *item)
{
    switch (item->type & 0xFF) {
    case cJSON_False: return TW_JSON_FALSE;
    case cJSON_True: return TW_JSON_TRUE;
    case cJSON_Number: return TW_JSON_NUMBER;
    case cJSON_String: return TW_JSON_STRING;
    case cJSON_Array: return TW_JSON_ARRAY;
    case cJSON_Object: return TW_JSON_OBJECT;
    default: return TW_JSON_NULL;
    }
}

/* Both sides stand in preorder, so the next node belongs to this item. Depth is bounded by the scan. */
static tw_json *join(joiner *j, const cJSON *item)
{
    tw_json *node = next_node(j);
    uint8_t marks = node->kind;
    node->kind = (uint8_t)kind_of(item);
    if ((marks & TWI_JSON_KEY_ESCAPED) != 0)
        node->key = tw_arena_dup(j->job->arena, tw_str_z(item->string));
    if ((marks & TWI_JSON_TEXT_ESCAPED) != 0)
        node->text = tw_arena_dup(j->job->arena, tw_str_z(item->valuestring));
    for (const cJSON *child = item->child; child != NULL; child = child->next)
        tw_json_append(node, join(j, child));
    if (node->kind == TW_JSON_OBJECT && node->count > 1 &&
        (node->count <= FEW_MEMBERS ? mark_few(node) : mark_many(j, node)))
        drop_repeated(j, node);
    return node;
}

static tw_status build(twi_json_job *job)
{
    tw_str text = plain_text(job);
    cJSON *tree = cJSON_ParseWithLengthOpts(text.at, text.len, NULL, 0);
    if (tree == NULL) {
        tw_place place = {.file = job->doc.file};
        tw_diag_add(job->diags, 1120, &place, "the tree of %zu bytes could not be built: memory may have run out",
                    text.len);
        return TW_ERR_BUG;
    }
    joiner j = {.job = job, .chunk = job->chunks};
    job->doc.root = join(&j, tree);
    cJSON_Delete(tree);
    return j.status;
}

/* ---- the call -------------------------------------------------------------------------------------------- */

static tw_status skip_mark(twi_json_job *job)
{
    if (!tw_str_starts(job->text, TW_STR("\xEF\xBB\xBF")))
        return TW_OK;
    tw_place place = twi_json_place_at(&job->doc, 0, 3);
    job->text = tw_str_from(job->text, 3);
    if (job->options->bom_ok) {
        tw_diag_add(job->diags, 1112, &place, "a byte order mark in front of the JSON text was skipped");
        return TW_OK;
    }
    tw_diag_add(job->diags, 1111, &place,
                "a byte order mark stands in front of the JSON text: save the file as plain "
                "UTF-8");
    return TW_ERR_SYNTAX;
}

tw_status tw_json_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_json_options *options, tw_diags *diags,
                       tw_json_doc *out)
{
    static const tw_json_options strict = {.nonfinite = false};
    if (bytes.at == NULL)
        bytes = TW_STR("");
    twi_json_job job = {.arena = arena,
                        .options = options != NULL ? options : &strict,
                        .diags = diags,
                        .doc = {.file = file, .bytes = bytes},
                        .text = bytes};
    if (bytes.len > TW_FILE_LIMIT) {
        tw_place place = {.file = file};
        tw_diag_add(diags, 1119, &place, "%zu bytes are more than the 1 GiB this tool reads", bytes.len);
        return TW_ERR_LIMIT;
    }
    tw_status marked = skip_mark(&job);
    tw_status status = twi_json_scan(&job);
    if (status == TW_OK)
        status = build(&job);
    if (status == TW_OK)
        status = marked;
    if (status == TW_OK)
        *out = job.doc;
    return status;
}
