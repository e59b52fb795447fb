/* SPDX-License-Identifier: Apache-2.0
 *
 * Written files that anybody may have changed: the input is a plan, its edit, and what is said to be a delivery of it.
 * Every delivery of the plan is proved from it: whatever is in it, there is a verdict, and one that fits the findings.
 */
#include "fuzz_show.h"

#include <tallwide/proof.h>

static void prove(const fuzz_show *s, const tw_timeline *written, size_t delivery)
{
    tw_diags *findings = tw_diags_new(s->arena);
    tw_proof proof;
    const tw_proof_file file = {.name = TW_STR("written"), .written = written};
    const tw_proof_input in = {.plan = s->plan,
                               .master = s->master,
                               .master_hash = s->hash,
                               .delivery = delivery,
                               .files = &file,
                               .file_count = 1};
    FUZZ_CHECK(tw_proof_run(s->arena, &in, findings, &proof) == TW_OK);
    FUZZ_CHECK(proof.ok != tw_diags_failed(findings));
    FUZZ_CHECK(proof.must_held_frames <= proof.must_frames && proof.outside_frames <= proof.frames);
    tw_buf out = {.arena = s->arena};
    tw_proof_write_text(&proof, 1, &out);
    tw_proof_write_json(&proof, 1, true, findings, &out);
    tw_diags_write_text(findings, TW_NOTE, &out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_show s = {.arena = tw_arena_new(NULL, NULL)};
    tw_str plan, rest, edit, bytes;
    if (fuzz_split((tw_str){(const char *)data, size}, &plan, &rest) && fuzz_split(rest, &edit, &bytes) &&
        fuzz_load(&s, plan, edit)) {
        const tw_read_options options = {.rate = s.master->rate, .drop = s.master->drop};
        tw_timeline *written = NULL;
        tw_status status =
            tw_formats_read(s.arena, bytes, TW_STR("written"), &options, tw_diags_new(s.arena), &written);
        for (size_t d = 0; status == TW_OK && fuzz_is_small(written) && d < s.plan->delivery_count; d++)
            prove(&s, written, d);
    }
    tw_arena_free(&s.arena);
    return 0;
}
