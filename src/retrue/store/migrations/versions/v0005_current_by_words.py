"""What counts is found by its words."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the index anew; it is filled from the records when the last step is done."""
    op.drop_table("current_records")
    op.create_table(
        "current_records",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("lot", sa.Text),
        sa.Column("machine", sa.Text),
        sa.Column("set", sa.Text),
        sa.Column("observed", sa.Text),
        sa.Column("words", sa.Text),
    )
    op.create_index("current_by_lot", "current_records", ["kind", "lot", "machine", "seq"])
    op.create_index("current_by_machine", "current_records", ["kind", "machine", "seq"])
    op.create_index("current_by_set", "current_records", ["kind", "set", "seq"])
    op.create_index("current_by_observed", "current_records", ["observed", "seq", "kind"])
