/* SPDX-License-Identifier: Apache-2.0
 *
 * What the events of a list say about the frames a second that it counts: weighed here, judged in edl_rate.c. Arrays go
 * by twi_edl_counts, pairs are the source side and the record side.
 */
#ifndef TW_EDL_EVIDENCE_H
#define TW_EDL_EVIDENCE_H

#include "edl_internal.h"

typedef struct twi_evidence {
    size_t events, agree_any, agree[TWI_EDL_COUNTS];
    size_t times[2];                 /* of the source and of the record side */
    size_t above[2][TWI_EDL_COUNTS]; /* of them with a frame number that the count does not reach */
    size_t too_long[TWI_EDL_COUNTS]; /* transitions longer than their event */
    size_t dropped;                  /* labels that drop frame leaves out */
    int32_t largest[2];
    size_t semicolons[2];
    bool drop; /* the list speaks of drop frame */
} twi_evidence;

void twi_edl_weigh(const twi_list *list, twi_evidence *evidence);

/* Source and record counting differently. */
typedef struct twi_mix {
    size_t source, record;
    size_t agree, of;
    int64_t error;
    bool also[TWI_EDL_COUNTS]; /* at this record count, too: lengths of 50 to 25 are those of 60 to 30 */
} twi_mix;

/* How well its two counts explain the lengths; they may be the same. */
void twi_edl_weigh_mix(const twi_list *list, twi_mix *mix);

/* Is there a length that the record's count explains to the frame on both sides, and the pair does not? */
bool twi_edl_denies_mix(const twi_list *list, const twi_mix *mix);

/* The best pair of different counts, if it explains nine lengths in ten. `record`: index asked for, TWI_EDL_COUNTS for
 * any. */
bool twi_edl_find_mix(const twi_list *list, const twi_evidence *evidence, size_t record, twi_mix *best);

#endif
