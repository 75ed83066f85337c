"""Commands as a user types them."""

from app.cli.commands import main


def run(capsys, *words) -> tuple[int, str, str]:
    """Exit status, standard output, standard error of one command."""
    status = main([str(word) for word in words])
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def refused(capsys, *words) -> str:
    """The one line of a command that must be refused."""
    status, _, err = run(capsys, *words)
    assert status == 2
    assert err.startswith("tallybar: ")
    assert err.count("\n") == 1
    assert "Traceback" not in err
    return err
