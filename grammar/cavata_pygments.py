"""Scripts of Cavata for Pygments: `pygmentize -x -l cavata_pygments.py:CavataLexer piece.cavata`.

Made from the grammar; `pytest --update tests/spec/test_highlighting.py` makes it anew.
"""
# ruff: noqa: E501

import re

from pygments.lexer import RegexLexer
from pygments.token import Comment, Keyword, Name, Number, Operator, String, Whitespace


class CavataLexer(RegexLexer):
    """Words, notes and numbers of a script."""

    name = "Cavata"
    aliases = ["cavata"]
    filenames = ["*.cavata"]
    flags = re.MULTILINE
    tokens = {
        "root": [
            (r"\s+", Whitespace),
            ('--[^\\n]*', Comment.Single),
            ('"(?:\\\\.|[^"\\\\\\n])*"', String.Double),
            ('^(?:transform|language|movement|cadenza|passage|profile|require|version|cipher|figure|forces|rhythm|staves|group|motif|piece|staff|mode|name|use)\\b', Keyword.Declaration),
            ('(?<=-> )(?:sustain_pedal|augmentation|descending|diminuendo|diminution|harmonized|lengthened|retrograde|ascending|crescendo|glissando|neighbors|respelled|division|expanded|harmonic|inverted|optional|sequence|closest|doubled|fermata|figured|labeled|lowered|mordent|natural|passing|rotated|slurred|symbols|tremolo|without|broken|graced|marked|played|raised|rolled|spoken|voiced|within|chant|first|inner|notes|sharp|trill|upper|voice|bass|down|flat|from|last|step|sung|tied|turn|sul|top|as|in|on|up)\\b', Name.Builtin),
            ('\\b(?:pedal_point|dialogue|ostinato|together|stretto|hocket|canon|weave|notes|chords|chord)\\(', Name.Builtin),
            ('[^\\W\\d]\\w*\\(', Name.Function),
            ('[A-G](?:##|bb|[#b♯♭𝄪𝄫])?-?\\d+(?!\\w)', Name.Constant),
            ('\\b(?:m|M|P|aug|dim)\\d+(?!\\w)', Name.Constant),
            ('\\b[A-G](?:##|bb|[#b♯♭𝄪𝄫])?(?![\\w#♯♭𝄪𝄫̀-ͯ])', Name.Constant),
            ('\\d+\\/\\d+\\.{0,2}(?![\\w.])', Number),
            ('\\d+:\\d+(?!\\w)', Number),
            ('\\d+\\.\\d+(?!\\w)', Number.Integer),
            ('-?\\d+(?!\\w|\\/\\d|:\\d|\\.\\d)', Number.Integer),
            ('\\b(?:broadening|dedication|copyright|durations|landscape|movements|publisher|rehearsal|arranger|composer|doubling|parallel|playable|pressing|repeated|settings|subtitle|attacca|between|colours|concert|doubles|letters|library|octaves|replace|section|soloist|through|timpani|without|written|before|called|colors|common|digits|ending|fifths|length|letter|number|pedals|pickup|remark|silent|tuning|voices|within|about|after|breve|chord|every|fixed|heard|least|meter|metre|morse|names|never|notes|order|ossia|other|paper|piano|plays|score|segno|short|tacet|tempi|tempo|times|title|tuned|until|voice|alla|back|bars|beat|capo|coda|fine|from|harp|held|last|like|none|note|onto|over|page|part|poet|rest|show|time|unit|with|bar|dal|end|for|key|min|al|as|at|by|da|in|no|of|on|or|to|s|x)\\b', Keyword),
            ('[^\\W\\d]\\w*', Name),
            ('->|\\.\\.|[=+:,.|()/]', Operator),
        ]
    }
