/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "cli/cmd.h"

#define MOST_WORDS 12

/* Splits at blanks, as a shell would without quotes, and parses from the third word on. */
static bool parse(cli *app, tw_arena *arena, const char *line)
{
    char *words[MOST_WORDS];
    int count = 0;
    for (char *p = tw_arena_dupz(arena, tw_str_z(line)); *p != '\0' && count < MOST_WORDS;) {
        words[count++] = p;
        p += strcspn(p, " ");
        if (*p == ' ')
            *p++ = '\0';
    }
    *app = (cli){.arena = arena, .command = cmd_find(tw_str_z(words[1]))};
    assert_non_null(app->command);
    return opt_parse(app, count, words);
}

static void accepted_and_refused(void **state)
{
    static const struct {
        const char *line;
        bool fine;
    } rows[] = {
        {"tallwide list a.edl", true},
        {"tallwide list --rate 25 a.edl", true},
        {"tallwide list a.edl --rate=29.97df", true},
        {"tallwide list --rate 29 --rate 24 a.edl", true},
        {"tallwide list --rate fast a.edl", false},
        {"tallwide list --rate", false},
        {"tallwide list", false},
        {"tallwide list -h", true},
        {"tallwide list a.edl b.edl", false},
        {"tallwide list --only tall a.edl", false}, /* another command's option */
        {"tallwide list --json=yes a.edl", false},
        {"tallwide list -- -odd-name.edl", true},
        {"tallwide list -", true},
        {"tallwide start a.edl -d tall=1080x1920 -dwide=3840x2160", true},
        {"tallwide start a.edl -d tall", false},
        {"tallwide start a.edl -d tall=0x10", false},
        {"tallwide start a.edl -d =10x10", false},
        {"tallwide fork p.json --threads 0", false},
        {"tallwide fork p.json --threads 8", true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cli app;
        tw_row(i, rows[i].line);
        if (parse(&app, tw_test_arena(state), rows[i].line) != rows[i].fine)
            fail_msg("%s", rows[i].line);
    }
}

static void values_reach_their_fields(void **state)
{
    cli app;
    assert_true(
        parse(&app, tw_test_arena(state), "tallwide start a.edl -d tall=1080x1920 --rate 29.97df -q -o x.json"));
    assert_int_equal(app.set.deliveries.len, 1);
    tw_assert_text(app.set.deliveries.at[0].name, "tall");
    assert_int_equal(app.set.deliveries.at[0].size.h, 1920);
    assert_int_equal(app.set.rate.num, 30000);
    assert_true(app.set.drop);
    assert_true(app.set.quiet);
    assert_string_equal(app.set.out, "x.json");
    assert_int_equal(app.arg_count, 1);
    assert_string_equal(app.args[0], "a.edl");
}

/* Every option has its name in its command's help, and every command in the overview. */
static void help_names_everything(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf all = {.arena = arena};
    opt_overview(&all);
    tw_buf_addc(&all, '\0');
    for (size_t c = 0; cmd_at(c) != NULL; c++) {
        assert_non_null(strstr(all.at, cmd_at(c)->name));
        tw_buf help = {.arena = arena};
        opt_help(cmd_at(c), &help);
        tw_buf_addc(&help, '\0');
        for (const option *o = cmd_at(c)->options; o != NULL && o->name != NULL; o++)
            assert_non_null(strstr(help.at, o->name));
    }
}

TW_SUITE(opt)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(accepted_and_refused),
        TW_TEST(values_reach_their_fields),
        TW_TEST(help_names_everything),
    };
    return tw_run("cli/opt", tests);
}
