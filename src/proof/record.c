/* SPDX-License-Identifier: Apache-2.0
 *
 * Proofs for programs: the report, and the record that stands beside a delivery.
 */
#include <tallwide/jsonio.h>
#include <tallwide/proof.h>

static void write_one(const tw_proof *p, tw_buf *out)
{
    tw_diag_json_next("\n  {", out);
    tw_diag_json_text("name", p->delivery, out);
    tw_diag_json_count("shots", (int64_t)p->shots, out);
    tw_diag_json_count("not_framed", (int64_t)p->not_framed, out);
    tw_diag_json_count("moving", (int64_t)p->moving, out);
    tw_diag_json_count("keys", (int64_t)p->keys, out);
    tw_diag_json_count("frames", p->frames, out);
    tw_diag_json_count("outside_frames", p->outside_frames, out);
    tw_diag_json_count("must_frames", p->must_frames, out);
    tw_diag_json_count("must_held_frames", p->must_held_frames, out);
    tw_diag_json_count("must_forced_frames", p->must_forced_frames, out);
    tw_diag_json_count("must_by_hand_frames", p->must_by_hand_frames, out);
    tw_diag_json_number("worst_cut_px", p->worst_cut_px, 3, out);
    tw_diag_json_number("max_scale", p->max_scale, 6, out);
    tw_diag_json_count("over_scale_frames", p->over_scale_frames, out);
    tw_diag_json_number("peak_speed", p->peak_speed, 4, out);
    tw_diag_json_number("peak_accel", p->peak_accel, 4, out);
    tw_diag_json_bool("cut_unchanged", p->cut_unchanged, out);
    tw_buf_addc(out, '}');
}

static void write_deliveries(const tw_proof *proofs, size_t count, tw_buf *out)
{
    tw_buf_addz(out, "\"deliveries\": [");
    for (size_t i = 0; i < count; i++)
        write_one(&proofs[i], out);
    tw_buf_addc(out, ']');
}

void tw_proof_write_json(const tw_proof *proofs, size_t count, bool ok, const tw_diags *diags, tw_buf *out)
{
    tw_buf_addf(out, "{\"ok\": %s, ", ok ? "true" : "false");
    write_deliveries(proofs, count, out);
    tw_diag_json_end(diags, out);
}

/* ---- the record ------------------------------------------------------------------------------------------ */

void tw_proof_write_record(const tw_proof *proof, bool ok, const tw_proof_named *files, size_t count,
                           const tw_diags *diags, tw_buf *out)
{
    tw_buf_addf(out, "{\"ok\": %s, ", ok ? "true" : "false");
    write_deliveries(proof, 1, out);
    tw_buf_addz(out, ",\n \"files\": [");
    for (size_t i = 0; i < count; i++) {
        tw_diag_json_next("\n  {", out);
        tw_diag_json_text("name", files[i].name, out);
        tw_diag_json_text("hash", tw_arena_hex(out->arena, files[i].hash), out);
        tw_buf_addc(out, '}');
    }
    tw_buf_addc(out, ']');
    tw_diag_json_end(diags, out);
}

bool tw_proof_record_tells(tw_arena *arena, tw_str record, const tw_proof *proof)
{
    tw_buf numbers = {.arena = arena};
    write_deliveries(proof, 1, &numbers);
    return tw_str_holds(record, tw_buf_str(&numbers));
}

size_t tw_proof_record_files(tw_arena *arena, tw_str record, const tw_proof_named **out)
{
    const tw_json_options any = {.fold = NULL};
    tw_json_doc doc;
    struct {
        tw_proof_named *at;
        size_t len, cap;
    } named = {NULL, 0, 0};
    if (tw_json_read(arena, record, TW_STR("record"), &any, tw_diags_new(arena), &doc) != TW_OK)
        return 0;
    for (const tw_json *f = tw_json_first(tw_json_get(doc.root, "files")); f != NULL; f = f->next) {
        const tw_json *name = tw_json_get(f, "name"), *hash = tw_json_get(f, "hash");
        uint64_t value;
        if (tw_json_is(name, TW_JSON_STRING) && tw_num_hex(tw_json_text(hash), &value))
            TW_PUSH(arena, named.at, named.len, named.cap) = (tw_proof_named){name->text, value};
    }
    *out = named.at;
    return named.len;
}
