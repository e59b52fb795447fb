/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/smil.h>

static void probing(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int least, most;
    } rows[] = {
        {"<?xml version=\"1.0\"?>\n<!DOCTYPE smil PUBLIC \"\">\n<smil>", 90, 100},
        {"<smil/>", 90, 100},
        {"<?xml version=\"1.0\"?><other/>", 1, 20},
        {"TITLE: WHEEL", 0, 0},
        {"{\"OTIO_SCHEMA\": \"Timeline.1\"}", 0, 0},
        {"", 0, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        int sure = tw_format_smil.probe(tw_str_z(rows[i].text));
        tw_row(i, rows[i].text);
        assert_in_range(sure, rows[i].least, rows[i].most);
    }
}

TW_SUITE(smil)
{
    const struct CMUnitTest tests[] = {TW_TEST(probing)};
    return tw_run("smil/smil", tests);
}
