"""The shop's own words for each setting, by the firmware family that it names itself."""

from sqlmodel import Field, SQLModel

from server.records.columns import filled


class HouseWord(SQLModel, table=True):
    """What the shop's own set-up program calls one setting."""

    __tablename__ = "house_word"
    __table_args__ = (filled("family"), filled("words"))
    family: str = Field(primary_key=True, max_length=60)
    setting: str = Field(primary_key=True, max_length=40)
    words: str
