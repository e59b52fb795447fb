/* SPDX-License-Identifier: Apache-2.0 */
#include "codes.h"

static const tw_code *const hundreds[] = {twi_codes_files,    twi_codes_json,  twi_codes_edl,     twi_codes_otio,
                                          twi_codes_timeline, twi_codes_plan,  twi_codes_framing, twi_codes_proof,
                                          twi_codes_recut,    twi_codes_cli,   twi_codes_xml,     twi_codes_media,
                                          twi_codes_pages,    twi_codes_follow};

#define FIRST 10 /* the hundred of the first list */

const tw_code *tw_code_find(int code)
{
    if (code < 100 * FIRST || (size_t)code / 100 - FIRST >= TW_COUNT(hundreds))
        return NULL;
    for (const tw_code *row = hundreds[code / 100 - FIRST]; row->code != 0; row++)
        if (row->code == code)
            return row;
    return NULL;
}

const tw_code *tw_code_at(size_t index)
{
    for (size_t h = 0; h < TW_COUNT(hundreds); h++)
        for (const tw_code *row = hundreds[h]; row->code != 0; row++)
            if (index-- == 0)
                return row;
    return NULL;
}
