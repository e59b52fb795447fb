/* SPDX-License-Identifier: Apache-2.0
 *
 * Tables of keys and notes tracks are held against the timelines beside them.
 */
#include "outputs.h"

/* The files for people that say what a timeline says, by the ending of their names. */
static const struct {
    const char *ending;
    void (*write)(const tw_derived *derived, size_t delivery, tw_buf *out);
    tw_status (*check)(tw_arena *arena, const tw_derived *derived, size_t delivery, tw_str text, tw_str file,
                       tw_diags *diags);
} pages[] = {{"vtt", tw_report_vtt, tw_report_vtt_check}, {"keys.csv", tw_report_keys, tw_report_keys_check}};

const char *page_ending(size_t index)
{
    return index < TW_COUNT(pages) ? pages[index].ending : NULL;
}

void page_write(const char *ending, const tw_derived *derived, size_t delivery, tw_buf *out)
{
    for (size_t k = 0; k < TW_COUNT(pages); k++)
        if (tw_str_is(tw_str_z(ending), pages[k].ending))
            pages[k].write(derived, delivery, out);
}

/* The written framings as if they had been derived: what the pages were made from, if all is well. */
static tw_derived *as_derived(tw_arena *arena, const project *p, size_t delivery, const tw_proof *proof)
{
    tw_derived *out = TW_NEW(arena, tw_derived);
    tw_derived_delivery *d = TW_NEW(arena, tw_derived_delivery);
    *out = (tw_derived){.plan = p->plan, .master = p->edit.timeline, .deliveries = d, .delivery_count = 1};
    d->delivery = &p->plan->deliveries[delivery];
    d->shot_count = proof->shots;
    d->shots = TW_NEW_N(arena, tw_decision, proof->shots);
    const tw_stand *stands = tw_timeline_stands(arena, p->edit.timeline);
    for (size_t i = 0; i < proof->shots; i++) {
        const tw_proof_shot *told = &proof->told[i];
        tw_framing *framing = NULL;
        if (told->framing != NULL) {
            framing = TW_NEW(arena, tw_framing);
            *framing = *told->framing;
        }
        d->shots[i] = (tw_decision){.clip = told->clip, .track = told->track, .framing = framing};
        d->shots[i].stand = &stands[told->clip->index];
        d->shots[i].verdict = told->black ? TW_VERDICT_BLACK : told->lost ? TW_VERDICT_UNKNOWN : TW_VERDICT_FRAMED;
    }
    return out;
}

tw_status prove_pages(tw_arena *scratch, const project *p, size_t delivery, const outputs *files, proved *out)
{
    const tw_derived *derived = NULL;
    tw_status worst = TW_OK;
    for (size_t i = 0; i < files->len; i++) {
        const output *file = &files->at[i];
        if (file->page == NULL || file->delivery != delivery)
            continue;
        if (derived == NULL)
            derived = as_derived(scratch, p, delivery, &out->proof);
        for (size_t k = 0; k < TW_COUNT(pages); k++) {
            if (!tw_str_is(tw_str_z(file->page), pages[k].ending))
                continue;
            tw_status status = pages[k].check(scratch, derived, 0, file->text, file->name, out->findings);
            worst = worst == TW_OK ? status : worst;
        }
    }
    out->proof.ok = out->proof.ok && !tw_diags_failed(out->findings);
    return worst;
}
