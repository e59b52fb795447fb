/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "smil/smil_read.h"

#define CLIP "<video><param name='source-size' value='5760x4320'/><param name='key' value='"

/* What is no key is told where it stands, and the clip has no framing then. */
static void keys_of_a_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text;
        bool fine;
    } rows[] = {
        {CLIP "-4 1665.5 10 2430 6'/></video>", true},
        {CLIP "0 0 0 0 0'/></video>", false},
        {CLIP "0 0 0 10'/></video>", false},
        {CLIP "0 0 0 10 0 1'/></video>", false},
        {CLIP "0 0 0 10 -1'/></video>", false},
        {CLIP "3 0 0 10 0'/><param name='key' value='3 0 0 20 0'/></video>", false},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].text);
        twi_smil_reader r = {.arena = arena, .diags = tw_diags_new(arena), .stage = {1080, 1920}};
        assert_int_equal(tw_xml_read(arena, tw_str_z(rows[i].text), TW_STR("t.smil"), r.diags, &r.doc), TW_OK);
        tw_item item = tw_timeline_item(TW_ITEM_CLIP);
        twi_smil_framing(&r, r.doc.root, &item);
        assert_int_equal(item.framing != NULL, rows[i].fine);
        assert_int_equal(r.failed, !rows[i].fine);
        if (!rows[i].fine)
            continue;
        const tw_key *key = item.framing->keys;
        assert_int_equal(key->frame, -4);
        tw_assert_near(key->cx, 1665.5 + 1215, 0);
        tw_assert_near(key->cy, 10 + 2160, 1e-9); /* 2430 x 16 / 9 / 2 */
        tw_assert_near(key->ease, 6, 0);
    }
}

TW_SUITE(smil_framing)
{
    const struct CMUnitTest tests[] = {TW_TEST(keys_of_a_clip)};
    return tw_run("smil/smil_framing", tests);
}
