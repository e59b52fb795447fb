/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/smil.h>

#define HEAD(more) "<smil><head><meta name='edit-rate' content='24'/>" more "</head><body>"
#define CLIP(attributes, inside) "<seq><video src='A' dur='2s'" attributes ">" inside "</video></seq></body></smil>"

/* Nothing of a file is left out without a word. */
static void told(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *said; /* NULL: nothing */
    } rows[] = {
        {HEAD("") CLIP(" panZoom='0,0,10,10'", ""),
         "1 clip with panZoom or animation, which are not taken for a framing (here \"A\")"},
        {HEAD("") CLIP("", "<set attributeName='panZoom' to='0,0,10,10'/>"),
         "1 clip with panZoom or animation, which are not taken for a framing (here \"A\")"},
        {HEAD("") CLIP("", "<param name='in-frame' value='1'/><param name='scene' value='2'/>"),
         "2 params of another program, not kept (here \"in-frame\")"},
        {HEAD("") CLIP(" alt='hub' copyright='us' xml:id='e1' fill='freeze'", ""),
         "2 attributes of clips, not about time, which are not kept (here \"alt\")"},
        {HEAD("") CLIP("", "<area/>"), "1 element in a clip, not kept (here \"area\")"},
        {HEAD("") CLIP(" transOut='d'", ""),
         "1 transition not defined, or out of a clip right before another: not followed (here \"d\")"},
        {HEAD("<meta name='author' content='kim'/><metadata/>") CLIP("", ""),
         "2 meta elements in the head, not kept (here \"author\")"},
        {HEAD("<layout><root-layout width='1080' height='1920'/><region xml:id='a' width='1080' height='1920'/>"
              "<region xml:id='b' left='0px' width='100%' height='960'/></layout>") CLIP("", ""),
         "1 region smaller than the stage, or beside it, whose place is not kept (here \"b\")"},
        {HEAD("<layout><root-layout width='1080px' height='1920'/><region xml:id='a' left='auto' width='1080' "
              "height='auto'/>"
              "<region xml:id='b' top='0%' height='1920px'/></layout>") CLIP("", ""),
         NULL},
        {HEAD("<layout><root-layout width='100' height='100'/><region xml:id='a' width='50%'/></layout>") CLIP("", ""),
         "1 region smaller than the stage, or beside it, whose place is not kept (here \"a\")"},
        {HEAD("") CLIP(" clipBegin='npt=10s' clipEnd='npt=11s'", ""),
         "video: it goes on for longer than from clipBegin to clipEnd: taken to run on past that"},
        {HEAD("") CLIP(" clipBegin='npt=10s' clipEnd='npt=13s'", ""), NULL},
        {HEAD("") CLIP(" clipBegin='npt=10s' clipEnd='npt=12s'", ""), NULL},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        const tw_read_options options = {.drop = false};
        tw_row(i, rows[i].text);
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *t = NULL;
        assert_int_equal(tw_format_smil.read(arena, tw_str_z(rows[i].text), TW_STR("t.smil"), &options, diags, &t),
                         TW_OK);
        assert_int_equal(tw_diags_kept(diags), rows[i].said != NULL);
        if (rows[i].said == NULL)
            continue;
        tw_assert_text(tw_diags_get(diags, 0)->message, rows[i].said);
        assert_true(tw_diags_get(diags, 0)->place.line == 1 && tw_diags_get(diags, 0)->place.column > 1);
    }
}

TW_SUITE(smil_beyond)
{
    const struct CMUnitTest tests[] = {TW_TEST(told)};
    return tw_run("smil/smil_beyond", tests);
}
