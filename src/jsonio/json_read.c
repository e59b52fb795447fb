/* SPDX-License-Identifier: Apache-2.0
 *
 * Reading: the scan makes the tree; here are escapes, repeated names and the call.
 */
#include "json_internal.h"

#include <string.h>

#define FEW_MEMBERS 24 /* up to here names are compared pair by pair */

/* ---- escapes (RFC 8259, section 7) ----------------------------------------------------------------------- */

/* The character of the \uXXXX at `at`, or of the pair of them. */
static uint32_t unicode_at(const char **at)
{
    uint64_t c = 0, low = 0;
    tw_num_hex((tw_str){*at + 2, 4}, &c);
    *at += 6;
    if (c < 0xD800 || c > 0xDBFF)
        return (uint32_t)c;
    tw_num_hex((tw_str){*at + 2, 4}, &low);
    *at += 6;
    return (uint32_t)(0x10000 + ((c - 0xD800) << 10) + (low - 0xDC00));
}

tw_str twi_json_decode(tw_arena *arena, tw_str raw)
{
    static const char from[] = "bfnrt", to[] = "\b\f\n\r\t";
    char *text = tw_arena_alloc(arena, raw.len + 1, 1), *out = text; /* an escape is longer than what it means */
    for (const char *at = raw.at, *end = raw.at + raw.len; at < end;) {
        if (*at != '\\') {
            *out++ = *at++;
        } else if (at[1] == 'u') {
            out = tw_str_put_utf8(unicode_at(&at), out);
        } else {
            const char *known = strchr(from, at[1]);
            *out++ = known != NULL ? to[known - from] : at[1];
            at += 2;
        }
    }
    return (tw_str){text, (size_t)(out - text)};
}

/* ---- repeated names -------------------------------------------------------------------------------------- */

int twi_json_by_key(const void *a, const void *b)
{
    const tw_json *x = *(const tw_json *const *)a, *y = *(const tw_json *const *)b;
    int order = tw_str_cmp(x->key, y->key);
    return order != 0 ? order : TW_CMP(x->offset, y->offset);
}

static bool same_name(tw_str a, tw_str b)
{
    return a.len == b.len && (a.len == 0 || (a.at[0] == b.at[0] && memcmp(a.at, b.at, a.len) == 0));
}

static bool mark_few(const tw_json *object)
{
    bool any = false;
    for (tw_json *m = object->in.first->next; m != NULL; m = m->next) {
        const tw_json *before = object->in.first;
        while (before != m && !same_name(before->key, m->key))
            before = before->next;
        if (before != m) {
            m->kind |= TWI_JSON_REPEATED;
            any = true;
        }
    }
    return any;
}

static bool mark_many(twi_json_job *job, const tw_json *object)
{
    size_t n = 0;
    for (tw_json *m = object->in.first; m != NULL; m = m->next) {
        TW_PUSH(job->arena, job->members, n, job->member_cap) = m;
    }
    TW_SORT(job->members, n, twi_json_by_key);
    bool any = false;
    for (size_t i = 1; i < n; i++) {
        if (same_name(job->members[i - 1]->key, job->members[i]->key)) {
            ((tw_json *)job->members[i])->kind |= TWI_JSON_REPEATED;
            any = true;
        }
    }
    return any;
}

void twi_json_mark_repeated(twi_json_job *job, tw_json *object)
{
    bool any = object->count <= FEW_MEMBERS ? mark_few(object) : mark_many(job, object);
    job->repeated = job->repeated || any;
}

static bool tell_repeated(const twi_json_job *job, const tw_json *member)
{
    bool warn = job->options->duplicates_warn;
    tw_place place = {.line = 0}; /* finding the line costs a look at all bytes before it: only for what is shown */
    if (tw_diags_count(job->diags, warn ? TW_WARNING : TW_ERROR) < TW_DIAGS_KEPT)
        place = tw_json_name_place(&job->doc, member);
    tw_diag_add(job->diags, warn ? 1114 : 1113, &place,
                warn ? "the name \"%.*s\" was used before in this object: the first value counts, this one was left out"
                     : "the name \"%.*s\" was used before in this object: remove or rename one of them",
                TW_ARG(tw_str_cut(member->key, 60)));
    return warn;
}

/* Only the first of several members of one name stays in the tree. */
static bool drop_repeated(const twi_json_job *job, tw_json *object)
{
    bool fine = true;
    tw_json *kept = object->in.first; /* the first is never a repetition */
    for (tw_json *m = kept->next; m != NULL; m = m->next) {
        if ((m->kind & TWI_JSON_REPEATED) == 0) {
            kept->next = m;
            kept = m;
            continue;
        }
        m->kind &= TWI_JSON_REPEATED - 1;
        fine = tell_repeated(job, m) && fine;
        object->count--;
    }
    kept->next = NULL;
    object->in.last = kept;
    return fine;
}

/* Told from the inside out. Depth is bounded by the scan. */
static bool drop_all(const twi_json_job *job, tw_json *value)
{
    tw_json_kind kind = (tw_json_kind)(value->kind & (TWI_JSON_REPEATED - 1));
    bool fine = true;
    for (tw_json *child = kind >= TW_JSON_ARRAY && !value->folded ? value->in.first : NULL; child != NULL;
         child = child->next)
        fine = drop_all(job, child) && fine;
    return value->count > 1 && kind == TW_JSON_OBJECT ? drop_repeated(job, value) && fine : fine;
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
    if (status == TW_OK && job.repeated && !drop_all(&job, job.doc.root))
        status = TW_ERR_SYNTAX;
    if (status == TW_OK)
        status = marked;
    if (status == TW_OK)
        *out = job.doc;
    return status;
}
