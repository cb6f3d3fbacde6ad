"""The command `words`: a chart file in words, to be read aloud or heard."""

import argparse

import svg2chart
from svg2chart.cli.inputs import chart_file_at
from svg2chart.cli.options import add_chart_file, add_output, one_line
from svg2chart.cli.outputs import WORDS_ENDING, check_free, stem_of, with_ending, write_outputs
from svg2chart.cli.progress import tell_progress


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_chart_file(parser)
    add_output(parser, "the text, or a folder for NAME.txt (default: standard output)")


def run(options: argparse.Namespace) -> int:
    """Tell the chart in words, or write them and say where they are."""
    source = chart_file_at(options.source)
    if not options.output:
        print(svg2chart.chart_in_words(svg2chart.read_chart(source)), end="")
        return 0
    target = with_ending(stem_of(options.output, source), WORDS_ENDING)
    check_free([target], overwrite=options.overwrite)
    tell_progress("reading")
    words = svg2chart.chart_in_words(svg2chart.read_chart(source))
    write_outputs([(target, words.encode())])
    tell_progress("")
    print(one_line(f"wrote {target}"))
    return 0
