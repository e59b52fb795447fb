/* SPDX-License-Identifier: Apache-2.0
 *
 * Proofs for people.
 */
#include <tallwide/proof.h>

/* What is proved, and what was given up. */
static void say_verdict(const tw_proof *p, tw_buf *out)
{
    int64_t cut = p->must_frames - p->must_held_frames;
    tw_buf_addf(out, "%.*s: %s", TW_ARG(p->delivery), p->ok ? "proved" : "NOT proved");
    if (cut > 0)
        tw_buf_addf(out, "; must is cut in %lld frame%s", (long long)cut, TW_PLURAL(cut));
    if (p->warnings > 0)
        tw_buf_addf(out, "; %zu warning%s", p->warnings, TW_PLURAL(p->warnings));
    tw_buf_addc(out, '\n');
}

static void say_edges(const tw_proof *p, tw_buf *out)
{
    if (p->outside_frames == 0)
        tw_buf_addz(out, "  edges  none shown\n");
    else
        tw_buf_addf(out, "  edges  shown in %lld frame%s\n", (long long)p->outside_frames,
                    TW_PLURAL(p->outside_frames));
}

/* Who gave it up. */
static void say_cuts(const tw_proof *p, tw_buf *out)
{
    int64_t cut = p->must_frames - p->must_held_frames;
    const struct {
        int64_t frames;
        const char *why;
    } rows[] = {
        {p->must_forced_frames, "no window of this shape holds it"},
        {p->must_by_hand_frames, "a window set by hand cuts it"},
        {cut - p->must_forced_frames - p->must_by_hand_frames, "this shape could hold it"},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++)
        if (rows[i].frames > 0)
            tw_buf_addf(out, "\n         in %lld frame%s %s", (long long)rows[i].frames, TW_PLURAL(rows[i].frames),
                        rows[i].why);
}

static void say_musts(const tw_proof *p, tw_buf *out)
{
    if (p->must_frames == 0) {
        tw_buf_addz(out, "  must   nothing asked\n");
        return;
    }
    tw_buf_addf(out, "  must   held in %lld of %lld frame%s", (long long)p->must_held_frames, (long long)p->must_frames,
                TW_PLURAL(p->must_frames));
    if (p->must_held_frames < p->must_frames) {
        tw_buf_addz(out, ", worst cut ");
        tw_buf_add_fixed(out, p->worst_cut_px, 1);
        tw_buf_addz(out, " px");
        say_cuts(p, out);
    }
    tw_buf_addc(out, '\n');
}

static void say_scale(const tw_proof *p, tw_buf *out)
{
    tw_buf_addz(out, "  scale  at most ");
    tw_buf_add_fixed(out, p->max_scale, 3);
    if (p->over_scale_frames > 0)
        tw_buf_addf(out, "; past the limit in %lld frame%s", (long long)p->over_scale_frames,
                    TW_PLURAL(p->over_scale_frames));
    tw_buf_addc(out, '\n');
}

static void say_motion(const tw_proof *p, tw_buf *out)
{
    if (p->moving == 0) {
        tw_buf_addz(out, "  moves  none\n");
        return;
    }
    tw_buf_addz(out, "  moves  at most ");
    tw_buf_add_fixed(out, p->peak_speed, 3);
    tw_buf_addz(out, " window widths a second\n  gains  at most ");
    tw_buf_add_fixed(out, p->peak_accel, 2);
    tw_buf_addz(out, " of these a second\n");
}

void tw_proof_write_text(const tw_proof *proofs, size_t count, tw_buf *out)
{
    for (size_t i = 0; i < count; i++) {
        const tw_proof *p = &proofs[i];
        tw_buf_addz(out, i > 0 ? "\n" : "");
        say_verdict(p, out);
        tw_buf_addf(out, "  shots  %zu, %lld frame%s; %zu moving, %zu key%s", p->shots, (long long)p->frames,
                    TW_PLURAL(p->frames), p->moving, p->keys, TW_PLURAL(p->keys));
        if (p->not_framed > 0)
            tw_buf_addf(out, "; %zu not framed yet", p->not_framed);
        tw_buf_addf(out, "\n  cut    %s\n",
                    p->cut_unchanged ? "as in the master" : "CHANGED (`tallwide compare` of both tells how)");
        say_edges(p, out);
        say_musts(p, out);
        say_scale(p, out);
        say_motion(p, out);
    }
}
