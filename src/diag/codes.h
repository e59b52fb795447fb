/* SPDX-License-Identifier: Apache-2.0
 *
 * The codes, a list for each hundred, in order; a row without a number ends it. A number is never used again.
 */
#ifndef TW_CODES_H
#define TW_CODES_H

#include <tallwide/diag.h>

/* codes_read.c: what several readers say */
extern const tw_code twi_codes_files[];    /* 10 */
extern const tw_code twi_codes_json[];     /* 11 */
extern const tw_code twi_codes_timeline[]; /* 14 */
extern const tw_code twi_codes_xml[];      /* 20 */
extern const tw_code twi_codes_pages[];    /* 22 */

extern const tw_code twi_codes_edl[];  /* 12, codes_edl.c */
extern const tw_code twi_codes_otio[]; /* 13, codes_otio.c */

/* codes_plan.c: plans and what is made of them */
extern const tw_code twi_codes_plan[];    /* 15 */
extern const tw_code twi_codes_framing[]; /* 16 */
extern const tw_code twi_codes_recut[];   /* 18 */
extern const tw_code twi_codes_cli[];     /* 19 */

extern const tw_code twi_codes_proof[]; /* 17, codes_proof.c */

/* codes_media.c: pictures and sound */
extern const tw_code twi_codes_media[];  /* 21 */
extern const tw_code twi_codes_follow[]; /* 23 */

#endif
