/* SPDX-License-Identifier: Apache-2.0
 *
 * A whole `fork` in memory: the input is a plan, a line of four equals signs, and the edit. Whatever both readers take is
 * solved for every delivery and written in every format; what was written reads back and keeps its promises, or a format
 * has refused it with a word. A proof that fails here is a fault of the tool there.
 */
#include "fuzz_show.h"

#include <tallwide/derive.h>
#include <tallwide/proof.h>

#define MOST_FILES 16

/* Adds the files of one format; false when it refuses. */
static bool write_format(const fuzz_show *j, const tw_timeline *timeline, const tw_format *format, tw_proof_file *files,
                         size_t *count)
{
    const tw_read_options options = tw_timeline_reading(j->master);
    for (size_t part = 0; part < format->parts(timeline) && *count < MOST_FILES; part++) {
        tw_diags *diags = tw_diags_new(j->arena);
        tw_buf text = {.arena = j->arena};
        tw_status status = format->write(j->arena, timeline, part, NULL, diags, &text);
        FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
        if (status != TW_OK)
            return false;
        tw_timeline *written = NULL;
        tw_diags *found = tw_diags_new(j->arena);
        status = format->read(j->arena, tw_buf_str(&text), TW_STR("written"), &options, found, &written);
        fuzz_tell(found, "written");
        FUZZ_CHECK(status == TW_OK);
        files[(*count)++] = (tw_proof_file){.name = tw_str_z(format->name), .written = written, .part = part};
    }
    return true;
}

static void prove(const fuzz_show *j, const tw_derived *derived, size_t delivery)
{
    const tw_timeline *timeline = tw_derive_timeline(j->arena, derived, delivery, j->hash);
    tw_proof_file files[MOST_FILES];
    tw_proof_input in = {.plan = j->plan, .master = j->master, .master_hash = j->hash, .delivery = delivery};
    in.files = files;
    for (size_t i = 0; tw_formats_at(i) != NULL; i++) {
        size_t before = in.file_count;
        if (!write_format(j, timeline, tw_formats_at(i), files, &in.file_count))
            in.file_count = before;
    }
    tw_diags *findings = tw_diags_new(j->arena);
    tw_proof proof;
    FUZZ_CHECK(tw_proof_run(j->arena, &in, findings, &proof) == TW_OK);
    fuzz_tell(findings, "proof");
    FUZZ_CHECK(proof.ok && !tw_diags_failed(findings));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_show j = {.arena = tw_arena_new(NULL, NULL)};
    tw_str plan, edit;
    if (fuzz_split((tw_str){(const char *)data, size}, &plan, &edit) && fuzz_load(&j, plan, edit)) {
        const tw_derive_options options = {.threads = 1};
        tw_derived *derived = NULL;
        tw_diags *diags = tw_diags_new(j.arena);
        if (tw_derive(j.arena, j.plan, j.master, &options, diags, &derived) == TW_OK) {
            tw_derive_findings(j.arena, derived, diags);
            for (size_t d = 0; d < derived->delivery_count; d++)
                prove(&j, derived, d);
        } else {
            FUZZ_CHECK(tw_diags_failed(diags)); /* a window set by hand that cannot be */
        }
    }
    tw_arena_free(&j.arena);
    return 0;
}
