/* SPDX-License-Identifier: Apache-2.0
 *
 * What a command does, or what a finding's code means.
 */
#include "cli.h"

static void explain(const tw_code *code, tw_buf *out)
{
    tw_buf_addf(out, "TW%d, %s: %s\n\ncause  ", code->code, tw_severity_word(code->severity), code->title);
    say_wrapped(tw_str_z(code->cause), 7, say_width(), out);
    tw_buf_addz(out, "\ncure   ");
    say_wrapped(tw_str_z(code->cure), 7, say_width(), out);
    tw_buf_addc(out, '\n');
}

static void explain_json(const tw_code *code, tw_buf *out)
{
    tw_buf_addf(out, "{\"code\": \"TW%d\", \"severity\": \"%s\", \"title\": ", code->code,
                tw_severity_word(code->severity));
    tw_diag_json_string(tw_str_z(code->title), out);
    tw_buf_addz(out, ", \"cause\": ");
    tw_diag_json_string(tw_str_z(code->cause), out);
    tw_buf_addz(out, ", \"cure\": ");
    tw_diag_json_string(tw_str_z(code->cure), out);
    tw_buf_addc(out, '}');
}

/* "TW1701", "tw1701" or "1701". */
static const tw_code *code_named(tw_str word)
{
    int64_t number;
    tw_str digits = tw_str_istarts(word, TW_STR("TW")) ? tw_str_from(word, 2) : word;
    return tw_num_int(digits, &number) && number > 0 && number < 10000 ? tw_code_find((int)number) : NULL;
}

exit_code cmd_help(cli *app)
{
    if (app->arg_count == 0) {
        opt_overview(&app->out);
        return EXIT_FINE;
    }
    const command *named = cmd_find(tw_str_z(app->args[0]));
    const tw_code *code = code_named(tw_str_z(app->args[0]));
    if (named != NULL) {
        opt_help(named, &app->out);
    } else if (code != NULL && app->set.json) {
        explain_json(code, &app->out);
        tw_buf_addc(&app->out, '\n');
    } else if (code != NULL) {
        explain(code, &app->out);
    } else {
        say_error("\"%s\" is neither a command nor the code of a finding; `tallwide codes` lists those", app->args[0]);
        return EXIT_USAGE;
    }
    return EXIT_FINE;
}

exit_code cmd_codes(cli *app)
{
    tw_buf_addz(&app->out, app->set.json ? "[" : "");
    for (size_t i = 0; tw_code_at(i) != NULL; i++) {
        const tw_code *code = tw_code_at(i);
        if (app->set.json) {
            tw_buf_addz(&app->out, i > 0 ? ",\n " : "");
            explain_json(code, &app->out);
            continue;
        }
        tw_buf_addf(&app->out, "TW%d  %-7s  %s\n", code->code, tw_severity_word(code->severity), code->title);
    }
    tw_buf_addz(&app->out, app->set.json ? "]\n" : "");
    return EXIT_FINE;
}
