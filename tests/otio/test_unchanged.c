/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/unchanged.h"

#include "otio/otio_cases.h"

#define OURS "{\"OTIO_SCHEMA\":\"Effect.1\",\"effect_name\":\"tallwide.window\",\"metadata\":{\"tallwide\":{}}}"
#define BLUR "{\"OTIO_SCHEMA\":\"Effect.1\",\"effect_name\":\"blur\"}"
#define STAMP "\"delivery\":\"tall\",\"master\":\"0\",\"plan\":\"0\",\"size\":[1,2],\"version\":1"

static void verdicts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *master, *derived, *said; /* said "": nothing has changed */
    } rows[] = {
        {"{\"a\":1,\"b\":[1.0,null]}", "{\"b\":[1.0,null],\"a\":1}", ""},
        {"{\"effects\":[" BLUR "]}", "{\"effects\":[" BLUR "," OURS "]}", ""},
        {"{\"effects\":[" OURS "]}", "{\"effects\":[" OURS "]}", ""},
        {"{\"name\":\"c\"}", "{\"name\":\"c\",\"effects\":[" OURS "]}", ""},
        {"{\"name\":\"c\"}", "{\"name\":\"c tall\",\"metadata\":{\"tallwide\":{" STAMP "}}}", ""},
        {"{\"name\":\"c\",\"metadata\":{\"x\":1}}",
         "{\"name\":\"c tall\",\"metadata\":{\"tallwide\":{" STAMP "},\"x\":1}}", ""},
        {"{\"metadata\":{\"tallwide\":{\"drop\":true}}}",
         "{\"name\":\"tall\",\"metadata\":{\"tallwide\":{\"drop\":true," STAMP "}}}", ""},
        {"{\"name\":\"c wide\",\"metadata\":{\"tallwide\":{\"delivery\":\"wide\"}}}",
         "{\"name\":\"c tall\",\"metadata\":{\"tallwide\":{" STAMP "}}}", ""},
        /* and what must not pass */
        {"{\"a\":1}", "{\"a\":1.0}", "1:6 the master has the number 1"},
        {"{\"a\":1}", "{\"a\":\"1\"}", "1:6 the master has the number 1"},
        {"{\"a\":1}", "{}", "1:1 \"a\" of the master is missing"},
        {"{}", "{\"a\":1}", "1:6 \"a\" is not in the master"},
        {"[1,2]", "[1]", "1:1 the list lacks the number 2"},
        {"[1]", "[1,2]", "1:4 the master's list ends before this"},
        {"{\"effects\":[" BLUR "]}", "{\"effects\":[" OURS "]}", "1:12 the list lacks an Effect.1"},
        {"{\"effects\":[]}", "{\"effects\":[" OURS "," BLUR "]}", "1:99 the master's list ends before this"},
        {"{\"name\":\"c\"}", "{\"name\":\"d tall\",\"metadata\":{\"tallwide\":{" STAMP "}}}",
         "1:9 the name is neither the master's nor made from it: the master has the text \"c\""},
        {"{\"name\":\"c\"}", "{\"name\":\"c tall\"}", "1:9 the master has the text \"c\""},
        {"{\"metadata\":{}}", "{\"metadata\":{\"tallwide\":{\"mine\":1," STAMP "}}}",
         "1:25 \"tallwide\" is not in the master"},
        {"{\"a\":{\"metadata\":{}}}", "{\"a\":{\"metadata\":{\"tallwide\":{}}}}",
         "1:30 \"tallwide\" is not in the master"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].derived);
        const char *said = otio_difference(arena, tw_str_z(rows[i].master), tw_str_z(rows[i].derived));
        tw_assert_text(tw_str_z(said), rows[i].said);
    }
}

TW_SUITE(unchanged)
{
    const struct CMUnitTest tests[] = {TW_TEST(verdicts)};
    return tw_run("otio/unchanged", tests);
}
